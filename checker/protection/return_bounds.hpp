// The bound of every return conductor: the largest current that can circulate through it, out of the sources,
// through whatever may draw it, and home.
//
// A return is judged by what loads let into it, never by a touch of its own: what has come down to the minus
// side falls nowhere else. The sum of the branches that meet in it counts, or the device before them if that
// is less; a pack's own lead also carries what a short between the two bars behind its first device sends
// home, and the lead of a minus bar what the plus bar beside it can give.
#pragma once
#include <span>
#include <unordered_map>

#include "checker/circuit/bar_pairs.hpp"
#include "checker/protection/guard_network.hpp"

namespace loomward {

struct ReturnBound {
    FlowBound bound;  // cuts are edges of the circuit
    EdgeId load;      // valid: a load through which a current without end comes
};

// By EdgeId of wires with both ends off the plus side, to be looked up only. `chafed`: the bounds of all
// zones (GuardNetwork::chafed) under the same view.
//
// Cost: conductors in a row are one, and one flow is worked out for each row in a network of rows and
// devices. Where that would be too much, the sum of the branches is taken along the tree of the feeds, which
// is exact where they are a tree and otherwise larger.
std::unordered_map<std::uint32_t, ReturnBound> bound_returns(const GuardNetwork& network,
                                                             const GuardView& view,
                                                             const std::vector<FlowBound>& chafed,
                                                             std::span<const BarPair> pairs);

}  // namespace loomward
