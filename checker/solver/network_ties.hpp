// The voltage of what no source holds.
#pragma once
#include <vector>

#include "checker/solver/network.hpp"
#include "checker/solver/network_graph.hpp"

namespace loomward {

// Lifts every island without a source to the voltage of what its ties join it to: of several the lowest, and
// those that it reaches over the fewest islands first. Islands that no tie joins to a source stay. `node_V`
// by node, 0 in those islands at first. Near linear in nodes and ties.
void lift_sourceless_islands(const Network& network, const NetworkGraph& graph, std::vector<double>& node_V);

}  // namespace loomward
