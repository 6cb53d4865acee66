// From which poles of a source something is reached without a resistor: what tells a resistor that only leads
// on, to a coil or a pilot lamp, from one that lies between a feed and its return and is a heater.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

class PoleReach {
  public:
    // Over conductors, every contact closed, over diodes as they let a current pass, and over drivers.
    explicit PoleReach(const Circuit& circuit);

    bool reaches(NodeId node) const { return plus_[node.index()] || minus_[node.index()]; }
    bool only_plus(NodeId node) const { return plus_[node.index()] && !minus_[node.index()]; }
    bool only_minus(NodeId node) const { return minus_[node.index()] && !plus_[node.index()]; }
    bool lies_across(const Edge& edge) const {
        return (only_plus(edge.from) && only_minus(edge.to)) || (only_minus(edge.from) && only_plus(edge.to));
    }

  private:
    std::vector<bool> plus_, minus_;  // by NodeId
};

}  // namespace loomward
