// Which parts have a supply, on the graph.
#pragma once
#include <set>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

// What the poles of packs lead to, in these pieces (checker/circuit/ways). Circuit and pieces outlive it.
class PackPoles {
  public:
    PackPoles(const Circuit& circuit, DisjointSets& pieces);

    bool plus(NodeId node) { return plus_[pieces_.find(node.index())]; }
    bool minus(NodeId node) { return minus_[pieces_.find(node.index())]; }
    // Both ends of an edge hang on packs, the right way round.
    bool supply(const Edge& edge) { return plus(edge.from) && minus(edge.to); }

  private:
    DisjointSets& pieces_;
    std::vector<bool> plus_, minus_;  // by piece
};

// Parts that use power and whose plus hangs together with the plus of a pack, and their minus with the minus
// of one, in these pieces (checker/circuit/ways).
std::set<PartId> on_both_poles(const Circuit& circuit, DisjointSets& pieces);

}  // namespace loomward
