#include <fmt/format.h>

#include <filesystem>
#include <optional>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/print_help.hpp"
#include "cli/readings.hpp"
#include "cli/terminal.hpp"

namespace loomward::cli {
namespace {

// Where the report of a file goes: of several files into a folder, by the names of the harnesses.
std::string place_of(const std::string& path, const Options& options) {
    if (options.files.size() == 1) return options.output;
    const std::filesystem::path stem = path == "-" ? "report" : std::filesystem::path(path).stem();
    return (std::filesystem::path(options.output) / stem).string() + (options.json ? ".json" : ".html");
}

// Two harnesses of one name in different folders would write one file; a harness is never written over.
std::string meeting(const Options& options) {
    for (const std::string& path : options.files)
        if (path != "-" && is_same_file(place_of(path, options), path))
            return fmt::format("a report never takes the place of its harness: name another file than '{}'",
                               path);
    for (std::size_t i = 0; i < options.files.size(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            if (place_of(options.files[i], options) == place_of(options.files[k], options))
                return fmt::format("'{}' and '{}' would both become '{}'", options.files[k], options.files[i],
                                   place_of(options.files[i], options));
    return {};
}

ExitCode write_one(const std::string& path, const Options& options) {
    const Session session = examine(path);
    if (!session.trouble().empty()) {
        complain(session.trouble());
        return ExitCode::wrong;
    }
    const bool color = colored(options.color);
    std::optional<ComparedReadings> readings;
    if (!options.measured.empty() && session.results()) {
        readings = compared_readings(session, options.measured, color);
        if (!readings) return ExitCode::wrong;
    }
    ReportQuestion question{options.allowance, options.tries, readings ? &*readings : nullptr, {}};
    for (std::size_t i = 0; i < options.logs.size() && session.results(); ++i) {
        std::optional<ComparedRun> run = compared_run(
            session, options.logs[i], options.log_modes.empty() ? "" : options.log_modes[i], color);
        if (!run) return ExitCode::wrong;
        question.runs.push_back(std::move(*run));
    }
    const std::string text = options.json ? session.report_json(question) : session.report_page(question);
    ExitCode code = code_of(session);
    if (readings && !readings->as_expected()) code = worse(code, ExitCode::errors);
    for (const ComparedRun& run : question.runs)
        if (!run.report.as_expected()) code = worse(code, ExitCode::errors);
    if (options.output == "-") {
        print(text);
        return code;
    }
    if (!put(place_of(path, options), text)) return ExitCode::wrong;
    print(session.results() ? session.verdict(color) : session.told(Told::findings, {color}));
    return code;
}

}  // namespace

ExitCode write_report(const Options& options) {
    std::string trouble;
    if (options.output.ends_with(".pdf"))
        trouble = no_pdf_of("report", options.files, options.output);
    else if (options.output != "-")
        trouble = meeting(options);
    else if (options.files.size() > 1)
        trouble = "several reports do not go to standard output: name a folder";
    if (trouble.empty() && options.files.size() > 1) trouble = make_folder(options.output);
    if (!trouble.empty()) {
        complain(trouble);
        return ExitCode::wrong;
    }
    ExitCode code = ExitCode::fine;
    for (const std::string& path : options.files) code = worse(code, write_one(path, options));
    return code;
}

}  // namespace loomward::cli
