// Modes that say nothing of the machine at work.
#pragma once
#include "checker/rules/rule.hpp"

namespace loomward {

// Whether no consumer has a voltage in any mode, though there are some and every pack has one that is known.
// False where not every mode is looked at.
bool leaves_everything_off(const RuleInput& input);

}  // namespace loomward
