#include "render/text/text_open.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <numeric>
#include <vector>

#include "checker/find_out.hpp"
#include "render/text/characters.hpp"
#include "render/text/excerpt.hpp"
#include "render/text/phrases.hpp"

namespace loomward {
namespace {

constexpr std::size_t most_groups = 12;
constexpr std::size_t most_names = 8;
constexpr std::size_t most_listed = 5;

std::string set_in(std::string_view head, std::string_view text, std::size_t indent) {
    std::string lines;
    for (const std::string& line : wrapped(text, text_columns - indent))
        lines.append(lines.empty() ? std::string(head) : std::string(indent, ' ')).append(line).append("\n");
    return lines;
}

std::string_view mode_of(const Finding& finding, const Results& results) {
    return results.harness->modes[finding.mode.index()].name;
}

std::string names_of(const std::vector<std::string>& names, std::string_view between = " ",
                     std::size_t most = most_names) {
    std::string text;
    for (std::size_t i = 0; i < names.size() && i < most; ++i) text.append(i ? between : "").append(names[i]);
    return names.size() > most ? text + fmt::format(" and {} more", names.size() - most) : text;
}

std::string in_full(const ToFindOut& group) {
    return fmt::format("'{}' of {}: {}; {} without it: {}", group.first.name, fmt::join(group.of, " "),
                       group.first.find_out, group.first.unknown ? "not sure" : "less sure",
                       group.first.judges);
}

// Who, without what is written of an estimate, and the first way to find out.
std::string in_short(const ToFindOut& group) {
    std::vector<std::string> names;
    for (const std::string& of : group.of) {
        const std::string name = of.substr(0, of.find(" ("));
        if (names.empty() || names.back() != name) names.push_back(name);  // two pins of one part
    }
    return fmt::format("'{}' of {}: {}", group.first.name, names_of(names, " ", most_listed),
                       group.first.find_out.substr(0, group.first.find_out.find(';')));
}

// " (above 3.2 m of W24)", for the values that decide it alone.
std::string turns(const Finding& finding) {
    std::string text;
    for (const OpenCause& cause : finding.hangs_on)
        if (cause.turns)
            text += (text.empty() ? "" : ", or ") + turn_text(*cause.turns) + " of " + cause.subject;
    return text.empty() ? text : " (" + text + ")";
}

}  // namespace

std::string possible_text(const Results& results, bool color, std::string_view more) {
    struct Line {
        std::string rule;
        Severity severity{};
        std::vector<std::string> subjects, causes;
    };
    std::vector<Line> lines;
    const auto add = [](std::vector<std::string>& list, const std::string& one) {
        if (std::find(list.begin(), list.end(), one) == list.end()) list.push_back(one);
    };
    for (const Finding& finding : results.findings) {
        if (!finding.possible || finding.accepted || finding.asks()) continue;
        auto line = std::find_if(lines.begin(), lines.end(), [&](const Line& each) {
            return each.rule == finding.rule && each.severity == finding.severity;
        });
        if (line == lines.end()) line = lines.insert(lines.end(), {finding.rule, finding.severity, {}, {}});
        const bool mode = finding.mode.valid() && finding.subject != mode_of(finding, results);
        add(line->subjects,
            finding.subject + (mode ? " in " + std::string(mode_of(finding, results)) : "") + turns(finding));
        for (const OpenCause& cause : finding.hangs_on) add(line->causes, cause.name);
    }
    if (lines.empty()) return {};
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Line& a, const Line& b) { return a.severity < b.severity; });
    std::string text = paint("possible", Ink::strong, color) +
                       " (holds for some of what is not known; one by one: " + std::string(more) + "):\n";
    for (const Line& line : lines)
        text += set_in("  ",
                       fmt::format("{} {}: {}{}{}", severity_word(line.severity), line.rule,
                                   names_of(line.subjects, ", "), line.causes.empty() ? "" : "; hangs on ",
                                   names_of(line.causes, ", ")),
                       4);
    return text + "\n";
}

std::string requirements_text(const Results& results, bool color) {
    std::vector<std::pair<std::string, std::vector<std::string>>> lines;  // what, and of whom
    std::vector<std::pair<std::string, std::string>> by_subject;
    for (const Finding& finding : results.findings) {
        if (finding.requirement.empty() || finding.accepted) continue;
        const auto known = std::find_if(by_subject.begin(), by_subject.end(),
                                        [&](const auto& each) { return each.first == finding.subject; });
        if (known == by_subject.end())
            by_subject.emplace_back(finding.subject, finding.requirement);
        else if (known->second.find(finding.requirement) == std::string::npos)
            known->second += "; " + finding.requirement;
    }
    for (auto& [subject, wanted] : by_subject) {
        const auto& what = wanted;
        const auto alike =
            std::find_if(lines.begin(), lines.end(), [&](const auto& each) { return each.first == what; });
        if (alike == lines.end())
            lines.push_back({what, {subject}});
        else
            alike->second.push_back(subject);
    }
    if (lines.empty()) return {};
    std::string text =
        paint("has to", Ink::strong, color) + " (what is not known of these; hold it against the labels):\n";
    for (const auto& [what, names] : lines)
        text += set_in("  ", fmt::format("{}", fmt::join(names, " ")) + ": " + what, 4);
    return text + "\n";
}

std::string find_out_text(const Results& results, bool all, bool color, std::string_view more) {
    std::vector<ToFindOut> groups = what_to_find_out(results);
    if (groups.empty()) return {};
    const std::size_t kinds = groups.size();
    const std::size_t values =
        std::accumulate(groups.begin(), groups.end(), std::size_t{0},
                        [](std::size_t sum, const ToFindOut& group) { return sum + group.of.size(); });
    if (!all && kinds > most_groups) groups.resize(most_groups - 1);
    std::string text =
        paint("find out first", Ink::strong, color) +
        fmt::format(" ({} not known or only estimated; by what hangs on them):\n", counted(values, "value"));
    for (const ToFindOut& group : groups) text += set_in("  ", all ? in_full(group) : in_short(group), 4);
    if (groups.size() < kinds)
        text += fmt::format("  {} more; all of them: {}\n", counted(kinds - groups.size(), "kind"), more);
    return text + "\n";
}

}  // namespace loomward
