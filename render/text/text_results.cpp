// The whole of a check as text: findings, what the user took on themselves, what was assumed, what was not
// looked at, and a verdict. The verdict counts; it never says that anything is safe.
#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "checker/parts/open_values.hpp"
#include "render/text/characters.hpp"
#include "render/text/counts.hpp"
#include "render/text/excerpt.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"

namespace loomward {
namespace {

constexpr std::size_t summary_lines = 6;   // kinds of assumption shown without --assumptions
constexpr std::size_t value_columns = 30;  // a longer value or name pushes its line to the right

// Continuation lines are set in under the first by `indent`.
std::string paragraph(std::string_view head, std::string_view text, std::size_t indent) {
    std::string lines;
    for (const std::string& line : wrapped(text, text_columns - indent))
        lines.append(lines.empty() ? std::string(head) : std::string(indent, ' ')).append(line).append("\n");
    return lines;
}

std::string accepted_text(const Results& results, bool color) {
    std::string text;
    const Sources& sources = *results.harness->sources;
    for (const Finding& finding : results.findings) {
        if (!finding.accepted) continue;
        const Acceptance& acceptance = results.harness->acceptances[*finding.accepted];
        const std::string place = place_text(finding.where, sources);
        text += paragraph(
            "  ",
            fmt::format("{}{} [{}]{} because \"{}\"", place.empty() ? place : place + ": ", finding.message,
                        finding.rule, accepted_amount(acceptance), acceptance.reason),
            6);
    }
    if (text.empty()) return {};
    return paint("accepted", Ink::strong, color) + " (found, not counted, the reason is yours):\n" + text +
           "\n";
}

// Most used first; ties keep the order of the list.
std::vector<const Assumption*> by_use(const Results& results) {
    std::vector<const Assumption*> order;
    for (const Assumption& assumption : results.assumptions) order.push_back(&assumption);
    std::stable_sort(order.begin(), order.end(),
                     [](const Assumption* a, const Assumption* b) { return users(*a) > users(*b); });
    return order;
}

std::string padded(std::string_view text, std::size_t columns) {
    const std::size_t width = display_width(text);
    return printable(text) + std::string(columns - std::min(columns, width), ' ');
}

struct Columns {
    std::size_t what = 0, value = 0;
};

Columns columns_of(const std::vector<const Assumption*>& rows) {
    Columns columns;
    for (const Assumption* row : rows) {
        columns.what = std::max(columns.what, std::min(display_width(row->what), value_columns + 10));
        columns.value = std::max(columns.value, std::min(display_width(row->value), value_columns));
    }
    return columns;
}

std::string assumption_row(const Assumption& row, const Columns& columns) {
    return fmt::format("{:5} x  {}  {}  {}\n", users(row), padded(row.what, columns.what),
                       padded(row.value, columns.value), printable(row.source));
}

std::string assumptions_text(const Results& results, const ReportOptions& options) {
    if (results.assumptions.empty()) return {};
    std::vector<const Assumption*> rows = by_use(results);
    const std::size_t kinds = rows.size();
    // One row too many to hide is no saving.
    if (!options.assumptions && kinds > summary_lines + 1) rows.resize(summary_lines);
    std::string text =
        paint("assumed", Ink::strong, options.color) +
        fmt::format(" ({}, because the file does not say):\n", counted(assumed_values(results), "value"));
    const Columns columns = columns_of(rows);
    for (const Assumption* row : rows) {
        text += assumption_row(*row, columns);
        if (options.assumptions && !row->used_by.empty())
            text += paragraph(std::string(9, ' '), fmt::format("{}", fmt::join(row->used_by, " ")), 9);
    }
    if (rows.size() < kinds)
        text += fmt::format("{} more of other kinds; all of them, and who uses them: --assumptions\n",
                            fmt::format("{:5}", kinds - rows.size()));
    return text + "\n";
}

// What is not known and what is only estimated: of what, what hangs on it, how one finds it out. Values of
// one attribute share a paragraph.
std::string open_values_text(const Results& results, bool color) {
    struct Group {
        const OpenValue* first = nullptr;
        std::vector<std::string> of;
    };
    std::vector<Group> groups;
    const std::vector<OpenValue> open = open_values(*results.harness);
    for (const OpenValue& value : open) {
        auto found = std::find_if(groups.begin(), groups.end(), [&](const Group& group) {
            return group.first->name == value.name && group.first->unknown == value.unknown;
        });
        if (found == groups.end()) {
            groups.push_back({&value, {}});
            found = std::prev(groups.end());
        }
        const std::string& of = value.subject.empty() ? value.of : value.subject;
        found->of.push_back(value.unknown ? of : of + " (" + value.written + ")");
    }
    if (groups.empty()) return {};
    std::string text = paint("to find out", Ink::strong, color) +
                       fmt::format(" ({} not known or only estimated):\n", counted(open.size(), "value"));
    for (const Group& group : groups)
        text += paragraph("  ",
                          fmt::format("'{}' of {}: {}; {} without it: {}", group.first->name,
                                      fmt::join(group.of, ", "), group.first->find_out,
                                      group.first->unknown ? "not judged" : "less sure", group.first->judges),
                          4);
    return text + "\n";
}

std::string left_out_text(const Results& results, bool color) {
    std::string text;
    if (!results.not_checked.empty())
        text += paragraph(paint("not checked:", Ink::strong, color) + " ",
                          fmt::format("{}", fmt::join(results.not_checked, "; ")), 13);
    if (results.unknown_values > 0)
        text += paragraph(paint("unknown:", Ink::strong, color) + "     ",
                          fmt::format("{} in the file; nothing is concluded from what is unknown",
                                      counted(results.unknown_values, "unknown value")),
                          13);
    return text.empty() ? text : text + "\n";
}

std::string modes_words(const Results& results) {
    const std::size_t all = results.harness->modes.size();
    const std::size_t solved = solved_modes(results);
    return solved == all ? counted(all, "mode")
                         : fmt::format("only {} of {} solved", solved, counted(all, "mode"));
}

}  // namespace

std::string verdict_text(const Results& results, const std::string& path, bool color) {
    const std::size_t errors = results.count(Severity::error);
    const std::size_t warnings = results.count(Severity::warning);
    const Ink ink = errors ? Ink::error : warnings ? Ink::warning : Ink::strong;
    const std::size_t accepted = accepted_findings(results);
    const std::string counts =
        fmt::format("{}, {}, {}", counted(errors, "error"), counted(warnings, "warning"),
                    counted(results.count(Severity::note), "note"));
    std::string text = paint(printable(path) + ":", Ink::strong, color) + " " + paint(counts, ink, color);
    if (accepted) text += fmt::format(", {} accepted", accepted);
    text += fmt::format("; {}, {}, {}", counted(results.harness->wires.size(), "wire"), modes_words(results),
                        counted(assumed_values(results), "assumed value"));
    if (results.unknown_values) text += fmt::format(", {} unknown", results.unknown_values);
    return text + "; checked under the stated assumptions, not a licence: see local codes\n";
}

std::string results_text(const Results& results, const std::string& path, const ReportOptions& options) {
    std::string text;
    for (const Finding& finding : results.findings)
        if (!finding.accepted) text += finding_text(finding, results, options.color) + "\n";
    text += accepted_text(results, options.color);
    text += assumptions_text(results, options);
    text += open_values_text(results, options.color);
    text += left_out_text(results, options.color);
    return text + verdict_text(results, path, options.color);
}

}  // namespace loomward
