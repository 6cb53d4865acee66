#include "checker/mend/whole_checks.hpp"

namespace loomward {

std::set<FindingKey> certain_errors(const Results& whole) {
    std::set<FindingKey> keys;
    for (const Finding& finding : whole.findings)
        if (finding.severity == Severity::error && !finding.possible && !finding.accepted && !finding.asks())
            keys.insert(key_of(finding));
    return keys;
}

std::optional<Results> WholeChecks::of(const Plan& plan) {
    if (plan.empty()) return found_;
    const auto text = applied(plan, text_, *found_.harness);
    if (!text) return std::nullopt;
    ++checks_;
    auto whole = examine_(*text);
    if (whole) certain_[signature_of(plan)] = certain_errors(*whole);
    return whole;
}

const std::set<FindingKey>* WholeChecks::certain_with(const Plan& plan) {
    const std::string signature = signature_of(plan);
    if (!certain_.contains(signature)) {
        if (spent()) return nullptr;
        const auto whole = of(plan);
        if (!whole) return nullptr;
        if (plan.empty()) certain_[signature] = certain_errors(*whole);
    }
    return &certain_.at(signature);
}

}  // namespace loomward
