#include <fmt/format.h>

#include <deque>

#include "cli/commands.hpp"
#include "cli/reading.hpp"
#include "cli/terminal.hpp"
#include "render/text.hpp"

namespace loomward {
namespace {

ExitCode code_of(const Examination& reading) {
    if (!reading.results) return ExitCode::wrong;
    return reading.results->count(Severity::error) > 0 ? ExitCode::errors : ExitCode::fine;
}

std::string reading_text(const Examination& reading, const Options& options) {
    const bool color = colored(options.color);
    if (reading.results) return results_text(*reading.results, reading.path, {color, options.assumptions});
    if (!reading.trouble.empty()) return {};
    return mistakes_text(reading.read.mistakes, *reading.read.sources, color) +
           fmt::format("\n{}: {} in the text; nothing was checked\n", reading.path,
                       reading.read.mistakes.size() == 1
                           ? std::string("1 mistake")
                           : fmt::format("{} mistakes", reading.read.mistakes.size()));
}

ExitCode check_as_text(const Options& options) {
    ExitCode code = ExitCode::fine;
    bool first = true;
    for (const std::string& path : options.files) {
        const Examination reading = examine(path, options.mode);
        if (!reading.trouble.empty()) complain(reading.trouble);
        const std::string text = reading_text(reading, options);
        if (!text.empty() && !first) print("\n");
        first = first && text.empty();
        print(text);
        code = worse(code, code_of(reading));
    }
    return code;
}

ExitCode check_as_json(const Options& options) {
    ExitCode code = ExitCode::fine;
    std::deque<Examination> readings;
    std::vector<Outcome> outcomes;
    for (const std::string& path : options.files) {
        const Examination& reading = readings.emplace_back(examine(path, options.mode));
        if (!reading.trouble.empty()) complain(reading.trouble);
        outcomes.push_back(outcome_of(reading));
        code = worse(code, code_of(reading));
    }
    print(outcomes_json(outcomes));
    return code;
}

}  // namespace

ExitCode check_files(const Options& options) {
    return options.json ? check_as_json(options) : check_as_text(options);
}

}  // namespace loomward
