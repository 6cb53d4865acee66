// Wires that lie on a loop with the sources: what arrives at either end without the wire itself.
#pragma once
#include <unordered_map>
#include <vector>

#include "checker/protection/guard_network.hpp"

namespace loomward {

// Of one wire, with and without electronics; cuts are edges of the circuit.
struct LoopBound {
    FlowBound with_electronics;
    FlowBound without_electronics;
};

// By EdgeId, to be looked up only: wires that are on no loop, or on one too large to take apart wire by wire,
// are not in it and have the bound of their zone. `forward_zone`: zones that some source's plus reaches.
std::unordered_map<std::uint32_t, LoopBound> bound_loops(const GuardNetwork& network,
                                                         const std::vector<bool>& forward_zone);

}  // namespace loomward
