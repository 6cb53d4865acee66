// Regeneration settings against what the current passes on its way back, and what takes it. Part of
// regeneration.
#pragma once
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// Adds a finding of rule regeneration-too-high about the controller of `id` (EdgeRole::regeneration), at most
// one. `braking`: every mode with all controllers giving back what they are set to.
void judge_settings(const RuleInput& input, const std::vector<OperatingPoint>& braking, EdgeId id,
                    Report& report);

}  // namespace loomward::rules
