// Packs, and the sections of a pack between its taps, one on top of the other.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

class PacksInSeries {
  public:
    // The circuit outlives it.
    explicit PacksInSeries(const Circuit& circuit);

    // The packs that two points stand over, from the lowest up, where these pieces of the circuit conduct, by
    // NodeId; of several ways one of the fewest sections. Empty: none, or the two are one point.
    std::vector<EdgeId> between(NodeId plus, NodeId minus, DisjointSets& pieces) const;

    // Two packs or more in series, from the lowest up, with nothing but them at each point between two.
    struct String {
        NodeId plus, minus;
        std::vector<EdgeId> sections;
    };
    std::vector<String> strings(DisjointSets& pieces) const;

  private:
    const Circuit& circuit_;
    std::vector<EdgeId> packs_;
};

}  // namespace loomward
