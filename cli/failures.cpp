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
    const bool color = colored(options.color);
    const Session session = examine(path);
    if (!session.trouble().empty()) complain(session.trouble());
    if (!session.results()) {
        print(session.told(Told::findings, {color}));
        return code_of(session);
    }
    std::string trouble;
    const std::optional<FailureReport> report = session.failures(options.mode, trouble);
    if (!report) {
        complain(fmt::format("{}: {}", path, trouble));
        return ExitCode::wrong;
    }
    const Harness& harness = *session.results()->harness;
    if (options.json) {
        print(failures_json(*report, harness, path));
    } else if (!options.of.empty()) {
        const std::string text = failures_of_text(*report, harness, options.of, color);
        if (text.empty()) {
            complain(fmt::format("{}: '{}' is no part or wire that fails in a way that is tried", path,
                                 options.of));
            return ExitCode::wrong;
        }
        print(text);
    } else {
        print(failures_text(*report, harness, path, options.all_changes, color));
    }
    const auto& lines = report->lines;
    const bool error = std::any_of(lines.begin(), lines.end(),
                                   [](const FailureLine& line) { return line.level == Severity::error; });
    return error ? ExitCode::errors : ExitCode::fine;
}

}  // namespace loomward::cli
