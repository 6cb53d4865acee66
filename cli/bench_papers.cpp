// hand-over, compare, spice.
#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/print_help.hpp"
#include "cli/terminal.hpp"
#include "render/bench/compare_text.hpp"

namespace loomward::cli {
namespace {

constexpr std::size_t compared_lines = 20;

}  // namespace

ExitCode write_hand_over(const Options& options) {
    const std::string& path = options.files.front();
    if (options.output.ends_with(".pdf")) {
        complain(no_pdf_of("hand-over", options.files, options.output));
        return ExitCode::wrong;
    }
    if (options.output != "-" && !options.output.ends_with(".html")) {
        complain(fmt::format("'{}' does not end with .html", options.output));
        return ExitCode::wrong;
    }
    const Session session = examine(path);
    if (!has_results(session)) return ExitCode::wrong;
    const HandOver& made = session.hand_over();
    if (!made.refused.empty()) {
        std::string text =
            fmt::format("{}: nothing is handed over while errors stand; mend or accept them first\n", path);
        for (const std::string& each : made.refused) text += "  " + each + "\n";
        print(text);
        return ExitCode::errors;
    }
    if (!put(options.output, session.hand_over_page())) return ExitCode::wrong;
    if (options.output != "-")
        print(fmt::format("{}: {} orders to switch off, {} fuse tables: {}\n", path, made.orders.size(),
                          made.lids.size(), options.output));
    return ExitCode::fine;
}

ExitCode compare_revisions(const Options& options) {
    const Session before = examine(options.files[0]), after = examine(options.files[1]);
    if (!has_results(before) || !has_results(after)) return ExitCode::wrong;
    const Comparison comparison = after.compared_with(before);
    print(options.json ? compare_json(comparison, before.path(), after.path())
                       : compare_text(comparison, before.path(), after.path(),
                                      options.all_changes ? 0 : compared_lines, colored(options.color)));
    return code_of(after);
}

ExitCode write_spice(const Options& options) {
    const std::string& path = options.files.front();
    const Session session = examine(path, {options.mode});
    if (!has_results(session)) return ExitCode::wrong;
    const bool fault = !options.shorted.empty();
    const SessionAnswer deck =
        fault ? session.fault_spice(
                    {options.shorted.front(), options.shorted.size() > 1 ? options.shorted.back() : "", {}},
                    options.full_corner)
              : session.spice(options.mode, options.full_corner);
    if (!deck.trouble.empty()) {
        complain(fmt::format("{}: {}", path, deck.trouble));
        return deck.error ? ExitCode::errors : ExitCode::wrong;
    }
    if (!put(options.output, deck.text)) return ExitCode::wrong;
    if (!options.output.empty() && options.output != "-")
        print(fmt::format("{}: {}: {}\n", path,
                          fault ? "short circuit at " + options.shorted.front() : "mode " + options.mode,
                          options.output));
    return ExitCode::fine;
}

}  // namespace loomward::cli
