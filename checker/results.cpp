#include "checker/results.hpp"

#include <algorithm>

namespace loomward {

Results::Results() = default;
Results::~Results() = default;
Results::Results(const Results&) = default;
Results::Results(Results&&) noexcept = default;
Results& Results::operator=(const Results&) = default;
Results& Results::operator=(Results&&) noexcept = default;

std::size_t Results::count(Severity severity) const {
    return static_cast<std::size_t>(std::count_if(
        findings.begin(), findings.end(),
        [&](const Finding& finding) { return finding.severity == severity && !finding.accepted; }));
}

}  // namespace loomward
