// The voltage that stands across two points before anything goes wrong: what charges a capacitor.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/faults/fault_network.hpp"

namespace loomward {

// With nothing drawn conductors lose nothing, so that sources alone make the voltages: packs first, then what
// limits itself, the highest first; resistors and diodes hand on what stands before them.
class StandingVoltage {
  public:
    StandingVoltage(const Circuit& circuit, const std::vector<FaultBranch>& branches);
    // Of `plus` above `minus`, V; 0 where they do not hang together.
    double across_V(NodeId plus, NodeId minus);

  private:
    // The root of a node, and how far the node lies above it, V.
    std::pair<std::uint32_t, double> find(std::uint32_t node);
    void join(std::uint32_t lower, std::uint32_t upper, double volts);

    std::vector<std::uint32_t> parent_;
    std::vector<double> above_parent_V_;
    std::vector<std::uint32_t> size_;
};

}  // namespace loomward
