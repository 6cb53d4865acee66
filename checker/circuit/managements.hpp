// Which battery management watches which pack, on the graph.
#pragma once
#include <map>
#include <set>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

// Which battery managements have their battery side on a pole of the string that a pack lies in. The circuit
// outlives this.
class Managements {
  public:
    explicit Managements(const Circuit& circuit);
    std::set<PartId> of(PartId pack);

  private:
    std::size_t piece(NodeId node) { return pieces_.find(node.index()); }

    const Circuit& circuit_;
    DisjointSets pieces_;
    std::map<std::size_t, std::set<PartId>> at_;
    std::map<std::size_t, std::vector<std::size_t>> above_, below_;  // over the packs of a string
};

}  // namespace loomward
