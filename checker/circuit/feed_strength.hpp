// How much the protection on the way from the sources lets reach a point, by the ratings alone: the weakest
// fuse or breaker of the way that is guarded the least. Endless where a way passes none, or one whose rating
// nobody knows. For the order in which shorts are looked at, not for a verdict.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// By NodeId, A; 0 where no source reaches it over conductors and diodes. Every contact counts as closed but
// those left out, by EdgeId; empty: none.
std::vector<double> feed_strength_A(const Circuit& circuit, const std::vector<bool>& left_out = {});

}  // namespace loomward
