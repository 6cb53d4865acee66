// Returns that lie on a ring: any of the other ways may be loose, so that one wire carries all that arrives
// on its one side and leaves on its other.
#pragma once
#include <memory>

#include "checker/protection/home_network.hpp"

namespace loomward {

class RingBounds {
  public:
    RingBounds(const GuardNetwork& network, const GuardView& view);

    // The smaller of what arrives at one end without passing the other and what leaves from there without
    // passing the first; nothing where no source lies on a common loop with the wire.
    FlowBound of(EdgeId wire);

  private:
    void charge_by_others();
    FlowBound one_way(std::uint32_t from, std::uint32_t to);
    void take_out(std::uint32_t vertex, bool out);

    const Circuit& circuit_;
    HomeNetwork home_;
    std::vector<EdgeId> edge_of_;  // by edge of the flow network
    std::vector<FlowEdge> edges_;
    std::vector<bool> driven_;  // by EdgeId: a source lies in its block
    std::vector<std::vector<std::uint32_t>> at_;
    std::unique_ptr<FlowNetwork> flows_;
};

}  // namespace loomward
