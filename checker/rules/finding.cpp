#include "checker/rules/rule.hpp"

#include <algorithm>

namespace loomward {

std::string_view corner_name(Corner corner) {
    switch (corner) {
        case Corner::fault_max:
            return "fault-max";
        case Corner::fault_min:
            return "fault-min";
        case Corner::run_hot:
            return "run-hot";
        case Corner::run_full:
            return "run-full";
    }
    return {};
}

std::size_t Results::count(Severity severity) const {
    return static_cast<std::size_t>(std::count_if(
        findings.begin(), findings.end(),
        [&](const Finding& finding) { return finding.severity == severity && !finding.accepted; }));
}

}  // namespace loomward
