// hand-over, compare, spice.
#include <fmt/format.h>

#include "checker/bench/compare.hpp"
#include "checker/bench/hand_over.hpp"
#include "cli/commands.hpp"
#include "cli/examined.hpp"
#include "cli/files.hpp"
#include "cli/terminal.hpp"
#include "render/bench/compare_text.hpp"
#include "render/bench/hand_over_html.hpp"
#include "render/spice/spice_deck.hpp"
#include "render/text/checksum.hpp"

namespace loomward::cli {
namespace {

constexpr std::size_t compared_lines = 20;

// Results, or what is wrong said and nothing.
bool looked_at(const Examined& examined) {
    if (examined.results) return true;
    complain(!examined.trouble.empty()
                 ? examined.trouble
                 : fmt::format("{} has mistakes, so nothing was written\n{}", examined.path,
                               mistakes_text(examined.read.mistakes, *examined.read.sources, false)));
    return false;
}

// To the file or to standard output; false: said why not.
bool put(const std::string& output, const std::string& text) {
    if (output.empty() || output == "-") {
        print(text);
        return true;
    }
    const std::string trouble = replace_file(output, text);
    if (!trouble.empty()) complain(trouble);
    return trouble.empty();
}

}  // namespace

ExitCode write_hand_over(const Options& options) {
    const std::string& path = options.files.front();
    if (options.output != "-" && !options.output.ends_with(".html")) {
        complain(fmt::format("'{}' does not end with .html", options.output));
        return ExitCode::wrong;
    }
    const Examined examined = examine(path, {});
    if (!looked_at(examined)) return ExitCode::wrong;
    const HandOver made = hand_over(*examined.results);
    if (!made.refused.empty()) {
        std::string text =
            fmt::format("{}: nothing is handed over while errors stand; mend or accept them first\n", path);
        for (const std::string& each : made.refused) text += "  " + each + "\n";
        print(text);
        return ExitCode::errors;
    }
    const std::string page = hand_over_html(made, *examined.results, path, LOOMWARD_VERSION,
                                            sha256_text(examined.read.sources->files.front().text));
    if (!put(options.output, page)) return ExitCode::wrong;
    if (options.output != "-")
        print(fmt::format("{}: {} orders to switch off, {} fuse tables: {}\n", path, made.orders.size(),
                          made.lids.size(), options.output));
    return ExitCode::fine;
}

ExitCode compare_revisions(const Options& options) {
    const Examined before = examine(options.files[0], {}), after = examine(options.files[1], {});
    if (!looked_at(before) || !looked_at(after)) return ExitCode::wrong;
    const Comparison comparison = compare(*before.results, *after.results);
    print(options.json ? compare_json(comparison, before.path, after.path)
                       : compare_text(comparison, before.path, after.path,
                                      options.all_changes ? 0 : compared_lines, colored(options.color)));
    return code_of(after);
}

ExitCode write_spice(const Options& options) {
    const std::string& path = options.files.front();
    const Examined examined = examine(path, {options.mode});
    if (!looked_at(examined)) return ExitCode::wrong;
    const Results& results = *examined.results;
    const auto& modes = results.circuit.harness->modes;
    std::size_t mode = 0;
    while (mode < modes.size() && modes[mode].name != options.mode) ++mode;
    const Corner corner = options.full_corner ? Corner::run_full : Corner::run_hot;
    const Facts facts(*results.circuit.harness);
    const SolvedNetwork solved =
        solved_network(results.circuit, facts, corner, ModeId(mode), intervals_of(modes[mode]).front());
    const SpiceDeck deck = spice_deck(results.circuit, solved,
                                      fmt::format("{}, mode {}, {}, its first level", results.harness->title,
                                                  options.mode, corner_name(corner)));
    if (deck.lines.empty()) {
        complain(fmt::format("{}: mode {} has no numbers, so there is nothing to write", path, options.mode));
        return ExitCode::errors;
    }
    if (!put(options.output, spice_text(deck))) return ExitCode::wrong;
    if (!options.output.empty() && options.output != "-")
        print(fmt::format("{}: mode {}, {} nodes: {}\n", path, options.mode, deck.nodes.size(),
                          options.output));
    return ExitCode::fine;
}

}  // namespace loomward::cli
