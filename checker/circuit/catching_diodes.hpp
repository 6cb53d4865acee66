// Diodes that are parts of their own and take the current of a coil or load on when its contact opens: from
// its minus to its plus over what nobody opens, at most one resistor in line.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/drive.hpp"

namespace loomward {

class CatchingDiodes {
  public:
    // The circuit outlives it.
    explicit CatchingDiodes(const Circuit& circuit);

    bool any() const { return !diodes_.empty(); }
    // Those across an edge that sources drive so, in the order of the circuit.
    std::vector<EdgeId> of(const Edge& edge, Drive::Ways driven);
    // Whether two nodes hang together over what nobody opens.
    bool same(NodeId a, NodeId b) { return leads_.same(a.index(), b.index()); }

  private:
    bool over_resistor(NodeId a, NodeId b);

    const Circuit& circuit_;
    DisjointSets leads_;
    std::vector<EdgeId> diodes_;
    std::vector<const Edge*> resistors_;
};

}  // namespace loomward
