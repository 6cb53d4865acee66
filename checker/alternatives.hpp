// Where the file leaves a choice open that no side of is safe for every question, a harness is checked once
// for each, and each finding is taken at its worse.
#pragma once
#include <vector>

#include "checker/results.hpp"

namespace loomward {

// The converters of which nothing says whether current passes back through them.
std::vector<PartId> open_reverses(const Harness& harness);

// Adds to `results` what holds only if nothing passes back through the `open` converters, or is worse then.
void take_worse(const Harness& harness, const std::vector<PartId>& open, Results blocked, Results& results);

}  // namespace loomward
