// Everything for people, as plain text: mistakes, findings, verdict, explanations.
#pragma once
#include <span>
#include <string>
#include <vector>

#include "checker/budget/budget.hpp"
#include "checker/faults/fault.hpp"
#include "checker/results.hpp"
#include "parser/language/mistakes.hpp"
#include "parser/text/diagnostic.hpp"
#include "parser/text/source.hpp"

namespace loomward {

// One mistake with its line as typed, a caret under the right characters (display columns: tabs, wide and
// combining characters counted as a terminal shows them), notes and help. Ends with a line break.
// `color`: ANSI colours.
std::string mistake_text(const Diagnostic& mistake, const Sources& sources, bool color);
// All of them, an empty line between two.
std::string mistakes_text(const std::vector<Diagnostic>& mistakes, const Sources& sources, bool color);

// One finding: headline, line with caret, path, why, source, corner and mode, help, notes.
std::string finding_text(const Finding& finding, const Results& results, bool color);

// The whole of `check`: what to do first, findings in the order of switching on, accepted ones in short,
// assumptions in groups, where to start, verdict as the last line.
struct ReportOptions {
    bool color = false;
    bool assumptions = false;  // the full list instead of its summary line
    bool unknowns = false;     // every open value, and each missing-data finding on its own
    bool by_line = false;      // findings as the file has them, not in the order of switching on
    bool brief = false;        // whether it may be switched on and where to start, and no more
};
std::string results_text(const Results& results, const std::string& path, const ReportOptions& options);

// The last line of it alone, with its line break: counts, what was looked at, and under which reservation.
std::string verdict_text(const Results& results, const std::string& path, bool color);

// `zones`: a block a zone, an empty line after each.
std::string zones_text(const Results& results, bool color);

// `budget`: a block a mode, those with everything at rest last, how long the packs last, what was assumed; an
// empty line after each. Not wider than text_columns but for names that are.
std::string budget_text(const Results& results, const Budget& budget, bool color);

// One fault at one corner: what flows, what opens when, what stays live. `bridged`: devices taken as plain
// conductors in it. Ends with a line break.
std::string fault_account_text(const Results& results, const FaultStudy& study, const FaultAccount& account,
                               std::span<const PartId> bridged, bool color);

// `explain RULE`, and `explain` alone: a line or two for each.
std::string rule_text(const RuleInfo& rule, bool color);
std::string rules_text(const std::vector<RuleInfo>& rules, bool color);

// The same of a kind of mistake in a text, and a list of all their names.
std::string mistake_kind_text(const MistakeInfo& mistake, bool color);
std::string mistake_kinds_text(bool color);

// `explain --watched`: hazards against kinds of part as a page of Markdown (docs/watched.md).
std::string watched_page();

// `explain --plausible`: what physical values usually are, as a page of Markdown (docs/plausible.md).
std::string plausible_page();

}  // namespace loomward
