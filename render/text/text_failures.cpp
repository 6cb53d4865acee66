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
    "the declared circuit, one failure at a time; no category and no performance level is judged, and none\n"
    "of it says that a machine may be used: local codes and licensed practice come first";
no category and no performance level is judged,
    and none
    "
    "of it says\nthat a machine may be used: local codes and licensed practice come first";

Ink ink_of(Severity level) {
    return level == Severity::error ? Ink::error : level == Severity::warning ? Ink::warning : Ink::note;
}

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

// The lines of one heading, folded; `room`: how many may stand there.
std::string block(const std::vector<const FailureLine*>& lines, FailureHeading heading, std::size_t room,
                  bool color, std::size_t& used) {
    std::string text = paint(heading_words(heading), Ink::strong, color) + "\n";
    used = 1;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const std::string tag = "[" + std::string(severity_word(lines[i]->level)) + "]";
        std::vector<std::string> rows = folded(line_text(*lines[i]) + " " + tag, text_columns - 2, "    ");
        const std::size_t rest = lines.size() - i;
        if (used + rows.size() + (rest > 1 ? 1 : 0) > room) {
            text += fmt::format("  .. {} more: --all\n", rest);
            ++used;
            return text;
        }
        rows.back().replace(rows.back().size() - tag.size(), tag.size(),
                            paint(tag, ink_of(lines[i]->level), color));
        for (const std::string& each : rows) text += "  " + each + "\n";
        used += rows.size();
    }
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
    if (!left_out.empty()) add("left out, since they contradict their coils: modes" + left_out);
    std::string taken = "taken: ";
    for (const std::string& each : report.taken) taken += (taken.size() > 7 ? "; " : "") + each;
    add(taken);

    std::vector<FailureHeading> headings;
    for (std::size_t h = 0; h < static_cast<std::size_t>(FailureHeading::at_rest); ++h)
        headings.push_back(static_cast<FailureHeading>(h));
    std::vector<std::vector<const FailureLine*>> lines(headings.size());
    for (const FailureLine& line : report.lines)
        lines[static_cast<std::size_t>(line.heading)].push_back(&line);
    // The dangerous ones have as much room as they need; each heading after them keeps two lines.
    std::size_t left = all ? 1000000 : failure_lines - head - 3;
    for (std::size_t h = 0; h < headings.size(); ++h) {
        if (lines[h].empty()) {
            if (h > 0) continue;
            text += paint(heading_words(headings[h]), Ink::strong, color) + ": none found\n";
            --left;
            continue;
        }
        std::size_t after = 0;
        for (std::size_t k = h + 1; k < headings.size(); ++k)
            if (!lines[k].empty()) after += 3;
        std::size_t used = 0;
        const std::size_t room = left > after + 2 ? left - after : 2;
        text += block(lines[h], headings[h], room, color, used);
        left = left > used ? left - used : 0;
    }
    const std::size_t rest = report.count(FailureHeading::at_rest),
                      none = report.count(FailureHeading::nothing);
    text += fmt::format(
        "{} show at rest alone, {} make no difference that is followed here: --of NAME tells each\n", rest,
        none);
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
    if (count.unstoppable == 0) return {};
    return fmt::format("failures: {} leave{} nothing that stops or holds: loomward failures {}\n",
                       counted(count.unstoppable, "single failure"), count.unstoppable == 1 ? "s" : "", path);
}

}  // namespace loomward
