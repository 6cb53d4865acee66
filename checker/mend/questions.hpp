// What only the owner can answer about a plan.
#pragma once
#include <string>
#include <vector>

#include "checker/mend/mend.hpp"

namespace loomward {

// The figure that a change puts in: sizes as they are sold, ranges as they are written.
std::string figure_text(const Change& change);
// What is written of the part beside it: ", works 18..32 V".
std::string besides_text(const Change& change);

// About the plan, in the order of the changes. What of the harness nobody knows is found out as `check` says.
std::vector<std::string> questions_of(const Mended& mended);

}  // namespace loomward
