#include "cli/readings.hpp"

#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/bench/readings_text.hpp"
#include "render/bench/run_text.hpp"

namespace loomward::cli {
namespace {

// The whole text; what is wrong with the file is said.
std::optional<std::string> loaded(const std::string& path) {
    LoadedFile file = load_file(path);
    if (file.trouble.empty()) return std::move(file.text);
    complain(file.help.empty() ? file.trouble : file.trouble + "; " + file.help);
    return std::nullopt;
}

ExitCode compare_run(const Session& session, const Options& options) {
    const bool color = colored(options.color);
    const std::optional<ComparedRun> run = compared_run(session, options.run_log, options.mode, color);
    if (!run) return ExitCode::wrong;
    print(options.json ? run_json(*run, session.path()) : run_text(*run, session.path(), color));
    return run->report.as_expected() ? ExitCode::fine : ExitCode::errors;
}

}  // namespace

std::optional<ComparedReadings> compared_readings(const Session& session, const std::string& measured,
                                                  bool color) {
    std::optional<std::string> text = loaded(measured);
    if (!text) return std::nullopt;
    ComparedReadings compared = session.readings(measured, std::move(*text));
    if (compared.text.mistakes.empty()) return compared;
    print(mistakes_text(compared.text.mistakes, *compared.text.sources, color));
    return std::nullopt;
}

std::optional<ComparedRun> compared_run(const Session& session, const std::string& log,
                                        const std::string& mode, bool color) {
    std::optional<std::string> text = loaded(log);
    if (!text) return std::nullopt;
    ComparedRun run = session.run_log(log, std::move(*text), mode);
    if (run.log.mistakes.empty() && run.trouble.empty()) return run;
    if (!run.log.mistakes.empty())
        print(mistakes_text(run.log.mistakes, *run.log.sources, color));
    else
        complain(fmt::format("{}: {}", session.path(), run.trouble));
    return std::nullopt;
}

ExitCode compare_readings(const Options& options) {
    const bool color = colored(options.color);
    const Session session = examine(options.files.front());
    if (!session.trouble().empty()) complain(session.trouble());
    if (!session.results()) {
        print(session.told(Told::findings, {color}));
        return ExitCode::wrong;
    }
    if (!options.run_log.empty()) return compare_run(session, options);
    const std::optional<ComparedReadings> compared = compared_readings(session, options.measured, color);
    if (!compared) return ExitCode::wrong;
    const ReadingsReport& report = compared->report;
    print(options.json ? readings_json(report, session.power_up(), session.path(), compared->path,
                                       compared->text.blanks)
                       : readings_text(report, session.power_up(), session.path(), compared->path,
                                       compared->text.blanks, color));
    return compared->as_expected() ? ExitCode::fine : ExitCode::errors;
}

}  // namespace loomward::cli
