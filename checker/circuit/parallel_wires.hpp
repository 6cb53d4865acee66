// Wires side by side between the same two points: they share a current, and if one breaks the others have it
// all.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

struct ParallelWires {
    std::vector<WireId> wires;  // source order, two or more
    // Same section and material, lengths within 5 % (common practice, no source): they share equally.
    bool equal = false;
};

class ParallelGroups {
  public:
    explicit ParallelGroups(const Circuit& circuit);
    const std::vector<ParallelWires>& all() const { return groups_; }
    // The group a wire is in; nullptr where it runs alone.
    const ParallelWires* of(WireId wire) const;

  private:
    std::vector<ParallelWires> groups_;    // by their first wire
    std::vector<std::uint32_t> group_of_;  // by WireId
};

}  // namespace loomward
