// The rows of the wire list, and how much comes off which reel.
#pragma once
#include <vector>

#include "checker/papers/schedules.hpp"

namespace loomward {

// `allowance`: see schedules_of.
std::vector<WireEntry> wire_entries(const Results& results, double allowance);

// Sums of the rows, those of one size, colour, insulation and metal together.
std::vector<ReelTotal> reel_totals(const std::vector<WireEntry>& wires);

}  // namespace loomward
