// Contacts side by side on one current: the last of them to part breaks all of it. Part of making_breaking.
#pragma once
#include <set>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// Adds findings of rule breaking-current about parts that are not in `said` yet.
void judge_side_by_side(const RuleInput& input, std::set<PartId>& said, Report& report);

// The most that ways side by side carry together of which a part opens one, A; 0 where there are none.
double side_by_side_A(const RuleInput& input, PartId part);

}  // namespace loomward::rules
