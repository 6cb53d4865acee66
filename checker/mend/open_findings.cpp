#include "checker/mend/open_findings.hpp"

#include <algorithm>
#include <tuple>

#include "checker/parts/open_values.hpp"

namespace loomward {
namespace {

bool counts(const Finding& finding) {
    return !finding.accepted && finding.severity != Severity::note && !finding.asks();
}

bool is_certain_error(const Finding& finding, const FindingKey& key) {
    return counts(finding) && !finding.possible && finding.severity == Severity::error &&
           key_of(finding) == key;
}

}  // namespace

OpenFindings::OpenFindings(const Results& found) {
    for (const OpenValue& value : open_values(*found.harness))
        if (!value.unknown) estimated_.emplace(value.subject, value.name);
    sort_out(found, keys_, certain_);
    any_ = !keys_.empty();
    for (const FindingKey& key : certain_) keys_.erase(key);
}

void OpenFindings::sort_out(const Results& whole, std::set<FindingKey>& open,
                            std::set<FindingKey>& certain) const {
    const auto hangs_on_estimates = [&](const Finding& finding) {
        return !finding.hangs_on.empty() &&
               std::all_of(finding.hangs_on.begin(), finding.hangs_on.end(), [&](const OpenCause& cause) {
                   return estimated_.contains({cause.subject, cause.name});
               });
    };
    for (const Finding& finding : whole.findings) {
        if (!counts(finding)) continue;
        const bool left_open = finding.possible && !hangs_on_estimates(finding);
        (left_open ? open : certain).insert(key_of(finding));
    }
}

void OpenFindings::leave_what_is_open(const Results& whole) {
    std::set<FindingKey> open, certain;
    sort_out(whole, open, certain);
    for (const FindingKey& key : open)
        if (!certain.contains(key) && !certain_.contains(key)) keys_.insert(key);
}

std::vector<FindingKey> OpenFindings::errors_made(const Trial& before, const Trial& after) const {
    std::vector<FindingKey> keys;
    for (const auto& [key, severity] : after.told) {
        if (severity != Severity::error || has(key)) continue;
        const auto old = before.told.find(key);
        const bool fresh = old == before.told.end() || old->second != Severity::error;
        const auto was = before.ratios.find(key), is = after.ratios.find(key);
        constexpr double noticeably = 1.05;
        const bool worse =
            was != before.ratios.end() && is != after.ratios.end() && is->second > noticeably * was->second;
        if (fresh || worse) keys.push_back(key);
    }
    return keys;
}

Score OpenFindings::score(const Trial& trial) const {
    Score score = trial.score;
    if (keys_.empty()) return score;
    for (const Finding& finding : trial.results.findings) {
        if (!counts(finding) || !has(key_of(finding))) continue;
        --(finding.severity == Severity::error ? score.errors : score.warnings);
    }
    return score;
}

bool OpenFindings::leave(const std::vector<FindingKey>& keys, const Results& whole) {
    const bool one_is_certain = std::any_of(keys.begin(), keys.end(), [&](const FindingKey& key) {
        return certain_.contains(key) ||
               std::any_of(whole.findings.begin(), whole.findings.end(),
                           [&](const Finding& finding) { return is_certain_error(finding, key); });
    });
    if (!one_is_certain) keys_.insert(keys.begin(), keys.end());
    return !one_is_certain;
}

bool OpenFindings::forget_what_is_certain(const Results& whole) {
    bool any = false;
    for (const Finding& finding : whole.findings) {
        const FindingKey key = key_of(finding);
        if (!is_certain_error(finding, key) || keys_.erase(key) == 0) continue;
        certain_.insert(key);
        any = true;
    }
    return any;
}

std::vector<const Finding*> findings_up_to(Phase phase, const Results& results, const OpenFindings& open) {
    std::vector<const Finding*> list;
    for (const Finding& finding : results.findings)
        if (!finding.accepted && finding.severity != Severity::note && phase_of(finding.rule) <= phase &&
            !open.has(key_of(finding)))
            list.push_back(&finding);
    std::stable_sort(list.begin(), list.end(), [](const Finding* a, const Finding* b) {
        return std::tuple(phase_of(a->rule), a->rule, a->subject, a->beside) <
               std::tuple(phase_of(b->rule), b->rule, b->subject, b->beside);
    });
    return list;
}

}  // namespace loomward
