// What "about" says in numbers.
#pragma once
#include "parser/harness.hpp"

namespace loomward {

// Policy estimate-spread, or the table's default for it, as a share: 0.25.
double estimate_spread(const Harness& harness);

// Gives every value that is written "about" the limits it may lie between. Done once, when everything has
// been read, so that whoever reads a value later finds both ends of it and cannot take the estimate for a
// figure.
void spread_estimates(Harness& harness);

}  // namespace loomward
