// Contacts side by side on one current: the last of them to part breaks all of it. Part of making_breaking.
#pragma once
#include <set>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// Adds findings of rule breaking-current about parts that are not in `said` yet.
void judge_side_by_side(const RuleInput& input, std::set<PartId>& said, Report& report);

}  // namespace loomward::rules
