// What only the owner can answer about a plan.
#pragma once
#include <string>
#include <vector>

#include "checker/mend/mend.hpp"

namespace loomward {

// The figure that a change puts in: sizes as they are sold, ranges as they are written.
std::string figure_text(const Change& change);

// In the order of the changes, then the values that nobody knows.
std::vector<std::string> questions_of(const Mended& mended);

}  // namespace loomward
