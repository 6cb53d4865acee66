// The whole of a check as text: findings, what the user took on themselves, what was assumed, what was not
// looked at, and a verdict. The verdict counts; it never says that anything is safe.
#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "render/text/characters.hpp"
#include "render/text/counts.hpp"
#include "render/text/excerpt.hpp"
#include "render/text/phrases.hpp"
#include "render/text/text.hpp"
#include "render/text/text_digest.hpp"
#include "render/text/text_failures.hpp"
#include "render/text/text_open.hpp"

namespace loomward {
namespace {

constexpr std::size_t summary_lines = 6;   // kinds of assumption shown without --assumptions
constexpr std::size_t most_possible = 8;   // findings that are told one by one
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

std::string left_out_text(const Results& results, bool color) {
    std::string text;
    if (!results.not_checked.empty())
        text += paragraph(paint("not checked:", Ink::strong, color) + " ",
                          fmt::format("{}", fmt::join(results.not_checked, "; ")), 13);
    return text.empty() ? text : text + "\n";
}

std::string modes_words(const Results& results) {
    const std::size_t all = results.harness->modes.size();
    const std::size_t solved = solved_modes(results);
    const std::string words = solved == all
                                  ? counted(all, "mode")
                                  : fmt::format("only {} of {} solved", solved, counted(all, "mode"));
    return all && results.harness->modes.front().own ? words + " made by the program" : words;
}

}  // namespace

std::string verdict_text(const Results& results, const std::string& path, bool color) {
    const std::size_t errors = results.count(Severity::error);
    const std::size_t warnings = results.count(Severity::warning);
    const Ink ink = errors ? Ink::error : warnings ? Ink::warning : Ink::strong;
    const std::size_t accepted = accepted_findings(results);
    const OpenCounts open = open_counts(results);
    std::string counts =
        fmt::format("{}{}, {}, {}", open.any() ? "certain: " : "", counted(errors - open.errors, "error"),
                    counted(warnings - open.warnings, "warning"),
                    counted(results.count(Severity::note) - open.notes, "note"));
    if (open.any())
        counts +=
            fmt::format("; possible: {}, {}; {} that could hide one", counted(open.told_errors, "error"),
                        counted(open.told_warnings, "warning"), counted(open.asked, "open value"));
    std::string text = paint(printable(path) + ":", Ink::strong, color) + " " + paint(counts, ink, color);
    if (accepted) text += fmt::format(", {} accepted", accepted);
    text += fmt::format("; {}, {}, {}", counted(results.harness->wires.size(), "wire"), modes_words(results),
                        counted(assumed_values(results), "assumed value"));
    if (results.unknown_values) text += fmt::format(", {} not known", results.unknown_values);
    return text + "; checked under the stated assumptions, not a licence: see local codes\n";
}

std::string results_text(const Results& results, const std::string& path, const ReportOptions& options) {
    const Digest digest = digest_of(results);
    std::string text = digest_text(results, digest, options.brief, options.color);
    if (options.brief) return text.empty() ? verdict_text(results, path, options.color) : text;
    if (!text.empty()) text += "\n";
    // Few possible findings are told one by one; many, rule by rule.
    const OpenCounts open = open_counts(results);
    const bool rule_by_rule = !options.unknowns && open.told_errors + open.told_warnings > most_possible;
    const auto tell = [&](const Finding& finding) {
        const bool listed = finding.asks() || (rule_by_rule && finding.possible);
        if (!finding.accepted && (options.unknowns || !listed))
            text += finding_text(finding, results, options.color) + "\n";
    };
    if (options.by_line)
        std::for_each(results.findings.begin(), results.findings.end(), tell);
    else
        for (const std::size_t i : digest.order) tell(results.findings[i]);
    if (rule_by_rule) text += possible_text(results, options.color);
    text += accepted_text(results, options.color);
    text += assumptions_text(results, options);
    text += requirements_text(results, options.color);
    text += find_out_text(results, options.unknowns, options.color);
    text += left_out_text(results, options.color);
    text += unstoppable_text(count_unstoppable(results), path);
    if (const std::string start = start_text(results, digest); !start.empty())
        text += paint(start, Ink::strong, options.color) + "\n";
    return text + verdict_text(results, path, options.color);
}

}  // namespace loomward
