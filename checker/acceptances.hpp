// What the file accepts, held against what was found.
#pragma once
#include <functional>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

extern const RuleInfo unused_acceptance;

// Marks what is accepted, and adds a note for each line that accepts nothing. A part is told of once, in the
// mode in which it is worst; a line that speaks of one mode is held against what is found in that mode alone,
// and what it accepts there covers no other mode. `alone`: the findings with no other mode looked at.
void apply_acceptances(const Harness& harness, std::vector<Finding>& findings,
                       const std::function<std::vector<Finding>(ModeId)>& alone);

}  // namespace loomward
