// Returns that lie on a ring: any of the other ways may be loose, so that one wire carries all that arrives
// on its one side and leaves on its other.
#pragma once
#include <memory>
#include <span>
#include <vector>

#include "checker/protection/home_network.hpp"

namespace loomward {

class RingBounds {
  public:
    RingBounds(const GuardNetwork& network, const GuardView& view);

    // The smaller of what arrives at one end without passing the other and what leaves from there without
    // passing the first; nothing where no source lies on a common loop with the wire. Where a ring hangs on
    // one point alone, nothing drives a current from there round it: what comes by that point leaves by
    // another, and the other way round.
    FlowBound of(EdgeId wire);

  private:
    void charge_by_others();
    FlowBound one_way(std::uint32_t from, std::uint32_t to, std::span<const std::uint32_t> points);
    FlowBound arrives(std::uint32_t at, std::uint32_t without, std::uint32_t nor);
    FlowBound leaves(std::uint32_t from, std::uint32_t without, std::uint32_t nor);
    void find_hanging_points();
    void take_out(std::uint32_t vertex, bool out);

    const Circuit& circuit_;
    HomeNetwork home_;
    std::vector<EdgeId> edge_of_;  // by edge of the flow network
    std::vector<FlowEdge> edges_;
    std::vector<bool> driven_;  // by EdgeId: a source lies in its block
    // By EdgeId of a wire: the points by which its ring of conductors hangs on other conductors.
    std::vector<std::vector<std::uint32_t>> hangs_by_;
    std::vector<std::vector<std::uint32_t>> at_;
    std::unique_ptr<FlowNetwork> flows_;
};

}  // namespace loomward
