// Contactors that a battery management opens, against the currents it opens them at. Part of making_breaking.
#pragma once
#include "checker/rules/rule.hpp"

namespace loomward::rules {

// Adds findings of rule breaking-current about contactors.
void judge_driven(const RuleInput& input, Report& report);

}  // namespace loomward::rules
