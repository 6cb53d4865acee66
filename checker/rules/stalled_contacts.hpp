// Contacts that somebody opens because a motor is blocked. Part of making_breaking.
#pragma once
#include <set>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// Adds findings of rule breaking-current about parts that are not in `said` yet.
void judge_stalled_contacts(const RuleInput& input, std::set<PartId>& said, Report& report);

}  // namespace loomward::rules
