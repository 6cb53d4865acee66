// Packs, and the sections of a pack between its taps, one on top of the other.
#pragma once
#include <unordered_map>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

// What packs lift above what, in one state of the circuit.
class PacksOver {
  public:
    // `pieces` by NodeId: what conducts. The circuit and the pieces outlive it.
    PacksOver(const Circuit& circuit, const std::vector<EdgeId>& packs, DisjointSets& pieces);

    // The packs that two points stand over, from the lowest up; of several ways one of the fewest sections.
    // Empty: none, or the two are one point.
    std::vector<EdgeId> between(NodeId plus, NodeId minus);

  private:
    // By piece above: the section that leads up to it. To be looked up only, as the others.
    using UpTo = std::unordered_map<std::size_t, EdgeId>;
    const UpTo& above(std::size_t bottom);

    const Circuit& circuit_;
    DisjointSets& pieces_;
    std::unordered_map<std::size_t, std::vector<EdgeId>> above_;  // by piece
    std::unordered_map<std::size_t, UpTo> up_from_;               // by piece
};

class PacksInSeries {
  public:
    // The circuit outlives it.
    explicit PacksInSeries(const Circuit& circuit);

    // For many questions where these pieces conduct, and for a single one.
    PacksOver over(DisjointSets& pieces) const { return {circuit_, packs_, pieces}; }
    std::vector<EdgeId> between(NodeId plus, NodeId minus, DisjointSets& pieces) const {
        return over(pieces).between(plus, minus);
    }

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
