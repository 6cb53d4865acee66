#include "checker/mend/standing.hpp"

#include <algorithm>
#include <utility>

namespace loomward {
namespace {

Seen at_first(const std::string& text, const Results& found, const MendOptions& options) {
    auto first = options.tried_with ? options.tried_with(text) : std::nullopt;
    return seen(first ? std::move(*first) : found);
}

}  // namespace

Standing::Standing(const std::string& text, const Results& found, const ExamineText& examine,
                   const MendOptions& options)
    : text_(text),
      found_(found),
      harness_(*found.harness),
      whole_(text, found, examine),
      open_(found),
      start_(at_first(text, found, options)),
      now_(start_),
      trials_(text, *found.harness, options.tried_with ? options.tried_with : examine, options.most_checks,
              start_) {}

bool Standing::is_wrong() const {
    return std::any_of(now_->results.findings.begin(), now_->results.findings.end(),
                       [&](const Finding& finding) {
                           return finding.severity == Severity::error && !finding.accepted &&
                                  !finding.asks() && !open_.has(key_of(finding));
                       });
}

bool Standing::lawful(const Plan& plan, const Seen& after) const {
    return after && lost_function(start_->functions, after->functions, plan).empty();
}

bool Standing::may_be_taken(const Plan& plan, const Seen& after, Phase phase) {
    if (!lawful(plan, after) || (pass_ != Pass::slower && !raised(after).empty())) return false;
    if (score(after) < score(now_) &&
        (phase < Phase::single_parts || after->score.unsolved < now_->score.unsolved ||
         open_.errors_made(*now_, *after).empty()))
        return true;
    return pass_ != Pass::strict && only_may_be(plan, after) && score(after) < score(now_);
}

bool Standing::only_may_be(const Plan& plan, const Seen& after) {
    const std::vector<FindingKey> keys = open_.errors_made(*now_, *after);
    if (!open_.any() || keys.empty() || whole_.spent()) return false;
    const auto whole = whole_.of(plan);
    return whole && open_.leave(keys, *whole);
}

bool Standing::is_no_longer_certain(const Plan& plan, const FindingKey& key) {
    const auto* was = open_.any() ? whole_.certain_with(plan_) : nullptr;
    if (!was || !was->contains(key)) return false;
    const auto* is = whole_.certain_with(plan);
    if (!is || is->contains(key) || !std::includes(was->begin(), was->end(), is->begin(), is->end()))
        return false;
    open_.leave(key);
    return true;
}

bool Standing::stays_open(const Plan& plan) {
    if (!open_.any()) return true;
    const auto *was = whole_.certain_with(plan_), *is = whole_.certain_with(plan);
    return !was || !is || std::includes(was->begin(), was->end(), is->begin(), is->end());
}

void Standing::take(Plan plan, Seen after) {
    plan_ = std::move(plan);
    now_ = std::move(after);
}

bool Standing::as_good(const Plan& plan, const Seen& after) const {
    return lawful(plan, after) && score(after) <= score(now_) && raised(after).empty() &&
           open_.errors_made(*now_, *after).empty();
}

}  // namespace loomward
