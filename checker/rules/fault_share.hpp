// How much of a short circuit flows through the device that opens first: other sources feed it past that one.
// Part of selectivity and making_breaking.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

struct FaultShare {
    std::uint32_t outcome = FaultSurvey::none;  // into FaultSurvey::outcomes
    double current_A = 0;                       // through the device that opens first, at once
    // "1.4 kA", "2.6 kA, of which 1.4 kA through Q1"
    std::string text;
};
// Of these outcomes of the survey, each with a device that opens first, the one in which most flows through
// that device; `outcome` stays none where there is none.
FaultShare largest_share(const RuleInput& input, std::vector<std::uint32_t> outcomes);

}  // namespace loomward::rules
