#include "render/text/text_failures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "render/text/paint.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

constexpr std::size_t most_drawn = 3;  // lines on what stops the drives as drawn

constexpr std::string_view foot =
    "the declared circuit, one failure at a time; no category or performance level is judged, and none of\n"
    "it says that a machine may be used: local codes and licensed practice come first";

// Broken at blanks; lines after the first are set in.
std::vector<std::string> folded(const std::string& text, std::size_t width, std::string_view indent) {
    std::vector<std::string> lines;
    std::string line;
    std::size_t begin = 0;
    while (begin < text.size()) {
        const std::size_t end = std::min(text.find(' ', begin), text.size());
        const std::string word = text.substr(begin, end - begin);
        if (!line.empty() && line.size() + 1 + word.size() > width) {
            lines.push_back(line);
            line = std::string(indent) + word;
        } else {
            line += (line.empty() ? "" : " ") + word;
        }
        begin = end + 1;
    }
    if (!line.empty()) lines.push_back(line);
    return lines;
}

std::string line_text(const FailureLine& line) {
    std::string text = line.who + ": " + line.then;
    if (!line.can_do.empty()) text += "; " + line.can_do;
    if (!line.test.empty()) text += ". Test: " + line.test;
    return text;
}

// One heading with its lines, folded; of the first `shown` of them.
struct Block {
    FailureHeading heading{};
    std::vector<const FailureLine*> lines;
    std::vector<std::vector<std::string>> rows;  // by line
    std::size_t shown = 1;

    std::size_t height() const {
        std::size_t rows_shown = shown < lines.size() ? 2 : 1;
        for (std::size_t i = 0; i < shown; ++i) rows_shown += rows[i].size();
        return rows_shown;
    }
};

std::string tag_of(const FailureLine& line) {
    return "[" + std::string(severity_word(line.level)) + "]";
}

std::vector<Block> blocks_of(const FailureReport& report) {
    std::vector<Block> blocks;
    for (std::size_t h = 0; h < static_cast<std::size_t>(FailureHeading::at_rest); ++h) {
        Block block;
        block.heading = static_cast<FailureHeading>(h);
        for (const FailureLine& line : report.lines) {
            if (line.heading != block.heading) continue;
            block.lines.push_back(&line);
            block.rows.push_back(folded(line_text(line) + " " + tag_of(line), text_columns - 2, "    "));
        }
        if (!block.lines.empty()) blocks.push_back(std::move(block));
    }
    return blocks;
}

// Every heading shows its first line; the room that is left goes to errors, then to the most dangerous ones.
// Bridged fuses, which are many, and what is lost under way take theirs last.
void share_room(std::vector<Block>& blocks, std::size_t room) {
    std::size_t used = 0;
    for (const Block& block : blocks) used += block.height();
    const auto late = [](const Block& block) {
        return block.heading == FailureHeading::useless_guard ||
               block.heading == FailureHeading::stops_under_way;
    };
    enum class Turn { errors, first, last };
    const auto has_its_turn = [&](const Block& block, Turn turn) {
        if (block.shown == block.lines.size()) return false;
        if (turn == Turn::errors) return block.lines[block.shown]->level == Severity::error;
        return late(block) == (turn == Turn::last);
    };
    for (const Turn turn : {Turn::errors, Turn::first, Turn::last})
        for (Block& block : blocks) {
            while (has_its_turn(block, turn)) {
                const std::size_t before = block.height();
                ++block.shown;
                if (used + block.height() - before > room) {
                    --block.shown;
                    break;
                }
                used += block.height() - before;
            }
        }
}

std::string block_text(const Block& block, bool color) {
    std::string text = paint(heading_words(block.heading), Ink::strong, color) + "\n";
    for (std::size_t i = 0; i < block.shown; ++i) {
        std::vector<std::string> rows = block.rows[i];
        const std::string tag = tag_of(*block.lines[i]);
        rows.back().replace(rows.back().size() - tag.size(), tag.size(),
                            paint(tag, ink_of(block.lines[i]->level), color));
        for (const std::string& each : rows) text += "  " + each + "\n";
    }
    if (block.shown < block.lines.size())
        text += fmt::format("  .. {} more: --all\n", block.lines.size() - block.shown);
    return text;
}

}  // namespace

std::string failures_text(const FailureReport& report, const Harness& harness, const std::string& path,
                          bool all, bool color) {
    std::string text;
    std::size_t head = 0;
    const auto add = [&](const std::string& line) {
        for (const std::string& each : folded(line, text_columns, "    ")) text += each + "\n", ++head;
    };
    add(path + ": " +
        fmt::format("{} tried in {}, {}", counted(report.tried.size(), "single failure"),
                    counted(report.modes, "mode"), counted(report.outcomes, "different outcome")) +
        (report.pairs ? "; " + counted(report.pairs, "pair") + " of one that is not seen and another" : ""));
    for (std::size_t i = 0; i < report.as_drawn.size(); ++i) {
        if (!all && i == most_drawn) {
            add(fmt::format(".. {} more: --all", report.as_drawn.size() - i));
            break;
        }
        add("as drawn, " + report.as_drawn[i]);
    }
    if (harness.modes.empty() || harness.modes.front().own)
        add("the harness states no mode: what it is used for is not known, and these are modes of the "
            "program");
    std::string left_out;
    for (const std::string& mode : report.left_out) left_out += " " + mode;
    if (!left_out.empty())
        add("left out, since they contradict their coils or never settle: modes" + left_out);
    std::string taken = "taken: ";
    for (const std::string& each : report.taken) taken += (taken.size() > 7 ? "; " : "") + each;
    add(taken);

    std::vector<Block> blocks = blocks_of(report);
    if (blocks.empty() || blocks.front().heading != FailureHeading::unstoppable)
        add(std::string(heading_words(FailureHeading::unstoppable)) +
            (report.drives ? ": none found" : ": no drive was recognised that could be"));
    constexpr std::size_t foot_lines = 3;
    share_room(blocks, all ? 1000000 : failure_lines - std::min(failure_lines, head + foot_lines));
    for (const Block& block : blocks) text += block_text(block, color);
    const std::size_t rest = report.count(FailureHeading::at_rest),
                      none = report.count(FailureHeading::nothing);
    std::string others;
    if (rest) others = fmt::format("{} {} at rest alone", rest, rest == 1 ? "shows" : "show");
    if (none)
        others += fmt::format("{}{} {} no difference that is followed here", rest ? ", " : "", none,
                              none == 1 ? "makes" : "make");
    if (!others.empty()) text += others + ": --of NAME tells each\n";
    return text + std::string(foot) + "\n";
}

std::string failures_of_text(const FailureReport& report, const Harness& harness, const std::string& name,
                             bool color) {
    std::string text;
    for (const TriedFailure& tried : report.tried) {
        const bool own = tried.failure.part ? harness.part(tried.failure.part).name == name
                                            : harness.wire(tried.failure.wire).name == name;
        if (!own) continue;
        text += paint(failure_text(tried.failure), Ink::strong, color) + ": " +
                std::string(heading_words(tried.heading)) + " " +
                paint("[" + std::string(severity_word(tried.level)) + "]", ink_of(tried.level), color) + "\n";
        const auto add = [&](std::string_view label, const std::string& what) {
            if (what.empty()) return;
            for (const std::string& line : folded(std::string(label) + what, text_columns - 2, "    "))
                text += "  " + line + "\n";
        };
        add("", tried.then);
        add("then: ", tried.can_do);
        for (const TriedFailure::Effect& effect : tried.effects)
            add("mode " + std::string(harness.modes[effect.mode.index()].name) + ": ", effect.text);
        if (tried.hidden) add("", "no mode shows it to who works with it");
        add("test: ", tried.test);
    }
    return text;
}

std::string unstoppable_text(const UnstoppableCount& count, const std::string& path) {
    if (count.left_out)
        return fmt::format("failures: not looked at here, for its size: loomward failures {}\n", path);
    if (!count.any()) return {};
    std::string leave;
    for (const std::string& each : {count.as_drawn ? counted(count.as_drawn, "error") + " as drawn" : "",
                                    count.unstoppable ? counted(count.unstoppable, "single failure") : "",
                                    count.pairs ? counted(count.pairs, "pair") : ""})
        if (!each.empty()) leave += (leave.empty() ? "" : ", ") + each;
    const std::size_t last = leave.rfind(", ");
    if (last != std::string::npos) leave.replace(last, 2, " and ");
    if (!leave.empty()) leave += count.as_drawn + count.unstoppable + count.pairs == 1 ? " leaves" : " leave";
    if (!leave.empty()) leave += " nothing that stops or holds";
    if (count.starting)
        leave += fmt::format(
            "{}{} start{} what nobody asked for", leave.empty() ? "" : ", ",
            leave.empty() ? counted(count.starting, "single failure") : std::to_string(count.starting),
            count.starting == 1 ? "s" : "");
    return fmt::format("failures: {}: loomward failures {}\n", leave, path);
}

}  // namespace loomward
