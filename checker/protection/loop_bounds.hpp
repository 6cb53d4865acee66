// Wires that lie on a loop with the sources: what arrives at either end without the wire itself.
#pragma once
#include <functional>

#include "checker/protection/guard_network.hpp"

namespace loomward {

// `chafed`: the bounds of all zones under the same view. Calls `keep` for each forward wire on a loop; cuts
// are edges of the circuit. Wires that are on no loop, or on one too large to take apart wire by wire, have
// the bound of their zone.
void bound_loops(const GuardNetwork& network, const GuardView& view, const std::vector<FlowBound>& chafed,
                 const std::function<void(EdgeId wire, FlowBound bound)>& keep);

}  // namespace loomward
