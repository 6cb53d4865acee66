// What the contacts of a part would have to carry, for who asks before a rating is known.
#pragma once
#include <vector>

#include "checker/currents/profile.hpp"
#include "checker/rules/rule.hpp"

namespace loomward::rules {

// The smallest `carries` that passes in every course, by the air around it and by how long each level lasts,
// and with each controller at its setting, A; 0: nothing flows.
double contact_must_carry_A(const RuleInput& input, const std::vector<Course>& courses, PartId part);

}  // namespace loomward::rules
