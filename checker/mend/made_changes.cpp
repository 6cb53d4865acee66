#include "checker/mend/made_changes.hpp"

#include <algorithm>

namespace loomward {
namespace {

// What comes back, or is graver.
std::vector<std::string> back(const Trial& with, const Trial& without, const OpenFindings& open) {
    std::vector<std::string> list;
    for (const auto& [key, severity] : without.told)
        if (const auto at = with.told.find(key);
            !open.has(key) && (at == with.told.end() || severity < at->second))
            list.push_back(key.first + " " + key.second);
    return list;
}

template <class Counts>
FindingCounts counted(const Results& results, Counts counts) {
    FindingCounts sum;
    for (const Finding& finding : results.findings) {
        if (finding.accepted || !counts(finding)) continue;
        sum.errors += finding.severity == Severity::error;
        sum.warnings += finding.severity == Severity::warning;
    }
    return sum;
}

}  // namespace

std::vector<MadeChange> made_changes(const Plan& plan, const Trial& now, Trials& trials,
                                     const OpenFindings& open) {
    std::vector<Plan> proof;
    for (const auto& [key, change] : plan) {
        proof.push_back(without(plan, key));
        if (const auto smaller = with_smaller(plan, key)) proof.push_back(*smaller);
    }
    trials.prepare(proof);
    std::vector<MadeChange> changes;
    for (const auto& [key, change] : plan) {
        MadeChange made{change, {}, false, {}};
        if (const Seen after = trials.of(without(plan, key))) made.clears = back(now, *after, open);
        if (const auto smaller = with_smaller(plan, key))
            if (const Seen after = trials.of(*smaller)) {
                made.smaller_tried = true;
                const auto list = back(now, *after, open);
                made.smaller = list.empty() ? "" : list.front();
            }
        changes.push_back(std::move(made));
    }
    std::stable_sort(changes.begin(), changes.end(), [](const MadeChange& a, const MadeChange& b) {
        return a.clears.size() > b.clears.size();
    });
    return changes;
}

Mended told_of(const Results& found, std::shared_ptr<const Results> whole) {
    Mended mended;
    const Results& after = *whole;
    const Functions functions = functions_of(after);
    mended.errors_before = found.count(Severity::error);
    mended.warnings_before = found.count(Severity::warning);
    mended.asked_before = counts_of_asked(found);
    mended.possible_before = counts_of_possible(found);
    mended.errors_after = after.count(Severity::error);
    mended.warnings_after = after.count(Severity::warning);
    mended.asked_after = counts_of_asked(after);
    mended.possible_after = counts_of_possible(after);
    mended.modes = functions.modes;
    mended.modes_solved = functions.modes_solved;
    for (const Finding& finding : after.findings)
        if (!finding.accepted && finding.severity != Severity::note) mended.left.push_back({finding, false});
    mended.results = std::move(whole);
    return mended;
}

FindingCounts counts_of_asked(const Results& results) {
    return counted(results, [](const Finding& finding) { return finding.asks(); });
}

FindingCounts counts_of_possible(const Results& results) {
    return counted(results, [](const Finding& finding) { return finding.possible && !finding.asks(); });
}

}  // namespace loomward
