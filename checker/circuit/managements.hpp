// Which battery management watches which pack, on the graph.
#pragma once
#include <map>
#include <set>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

// Which battery managements have their battery side on a pole of the string that a pack lies in, and stand
// where what the string feeds comes home: a pack that shares no more than a pole with the one that is watched
// is not watched. The circuit outlives this.
class Managements {
  public:
    explicit Managements(const Circuit& circuit);
    std::set<PartId> of(PartId pack);

  private:
    struct Management {
        PartId part;
        std::vector<bool> comes_home;  // by piece: what hangs on the machine's side of it, without its packs
    };
    std::size_t piece(NodeId node) { return pieces_.find(node.index()); }
    void find_what_comes_home();
    std::vector<std::size_t> string(std::size_t end, bool up) const;

    const Circuit& circuit_;
    DisjointSets pieces_;
    std::map<std::size_t, std::vector<Management>> at_;              // by piece of the battery side
    std::map<std::size_t, std::vector<std::size_t>> above_, below_;  // over the packs of a string
};

}  // namespace loomward
