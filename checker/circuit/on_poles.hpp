// Which parts have a supply, on the graph.
#pragma once
#include <set>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

// Parts that use power and whose plus hangs together with the plus of a pack, and their minus with the minus
// of one, in these pieces (checker/circuit/ways).
std::set<PartId> on_both_poles(const Circuit& circuit, DisjointSets& pieces);

}  // namespace loomward
