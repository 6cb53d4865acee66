#include "render/text/counts.hpp"

#include <algorithm>
#include <numeric>

namespace loomward {

std::size_t users(const Assumption& assumption) {
    return std::max<std::size_t>(assumption.used_by.size(), 1);
}

std::size_t assumed_values(const Results& results) {
    return std::accumulate(results.assumptions.begin(), results.assumptions.end(), std::size_t{0},
                           [](std::size_t sum, const Assumption& one) { return sum + users(one); });
}

std::size_t accepted_findings(const Results& results) {
    const auto accepted = [](const Finding& finding) { return finding.accepted.has_value(); };
    return static_cast<std::size_t>(
        std::count_if(results.findings.begin(), results.findings.end(), accepted));
}

std::size_t solved_modes(const Results& results) {
    enum class Numbers { not_looked_at, usable, not_usable };
    std::vector<Numbers> states(results.harness->modes.size(), Numbers::not_looked_at);
    for (const OperatingPoint& point : results.points) {
        Numbers& state = states[point.mode.index()];
        if (!point.usable())
            state = Numbers::not_usable;
        else if (state == Numbers::not_looked_at)
            state = Numbers::usable;
    }
    return static_cast<std::size_t>(std::count(states.begin(), states.end(), Numbers::usable));
}

}  // namespace loomward
