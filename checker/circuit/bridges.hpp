// Edges whose loss parts the graph: what hangs on a bridge has no way back.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// By EdgeId: true for a bridge. Every edge counts as conducting, whatever its state; O(nodes + edges), no
// recursion.
std::vector<bool> find_bridges(const Circuit& circuit);

}  // namespace loomward
