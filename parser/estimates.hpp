// What "about" says in numbers.
#pragma once
#include "parser/harness.hpp"

namespace loomward {

// How far a value of that dimension that is written "about" may be off, either way, as a share from 0 to
// 0.99: policy estimate-spread where it is stated and known, for every dimension. Else by how well such a
// thing is guessed, no source: a length with a tape in mind, a current or a power off a plate 10 %, a voltage
// or an efficiency 5 %, a resistance 25 %, everything else as the table's default for the policy, 25 %.
double estimate_spread(const Harness& harness, Dimension dimension);

// Gives every value that is written "about" the limits it may lie between. Done once, when everything has
// been read, so that whoever reads a value later finds both ends of it and cannot take the estimate for a
// figure.
void spread_estimates(Harness& harness);

}  // namespace loomward
