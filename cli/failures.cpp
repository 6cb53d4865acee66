#include "checker/failures/failures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/terminal.hpp"
#include "render/json/json_failures.hpp"
#include "render/text/text_failures.hpp"

namespace loomward::cli {

ExitCode tell_failures(const Options& options) {
    const std::string& path = options.files.front();
    std::optional<FailureReport> report;
    const Harness* judged = nullptr;
    CheckOptions check;
    check.with_faults = [&](const Results& results, const FaultStudy& study) {
        judged = results.circuit.harness;
        const auto& modes = judged->modes;
        const bool known =
            options.mode.empty() || std::any_of(modes.begin(), modes.end(),
                                                [&](const Mode& mode) { return mode.name == options.mode; });
        if (known) report = find_failures(results, &study, {options.mode});
    };
    const Examined examined = examine(path, check);
    if (!examined.trouble.empty()) complain(examined.trouble);
    if (!examined.results) {
        print(unchecked_text(examined, colored(options.color)));
        return code_of(examined);
    }
    if (!report) {
        complain(fmt::format("{}: there is no mode named '{}'", path, options.mode));
        return ExitCode::wrong;
    }
    const Harness& harness = *examined.results->harness;
    if (options.json) {
        print(failures_json(*report, harness, path));
    } else if (!options.of.empty()) {
        const std::string text = failures_of_text(*report, harness, options.of, colored(options.color));
        if (text.empty()) {
            complain(fmt::format("{}: '{}' is no part or wire that fails in a way that is tried", path,
                                 options.of));
            return ExitCode::wrong;
        }
        print(text);
    } else {
        print(failures_text(*report, harness, path, options.all_changes, colored(options.color)));
    }
    const auto& lines = report->lines;
    const bool error = std::any_of(lines.begin(), lines.end(),
                                   [](const FailureLine& line) { return line.level == Severity::error; });
    return error ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
