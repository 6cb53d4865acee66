// Solar panels one behind the other, over conductors and diodes: what their open-circuit voltages add up to,
// and through what they can drive a current at all.
#pragma once
#include <cstdint>
#include <functional>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// Panels one behind the other, and what they add up to.
struct PanelString {
    double open_circuit_V = 0;
    std::vector<EdgeId> panels;  // from minus to plus
};

class PanelStrings {
  public:
    // `open_circuit_V` by EdgeId, of panels, V, 0 or more. `passes(EdgeId)`: conductors that are closed.
    // The circuit outlives this.
    PanelStrings(const Circuit& circuit, std::vector<double> open_circuit_V,
                 const std::function<bool(EdgeId)>& passes);

    // What hangs together over conductors; nodes of one zone have one number.
    std::uint32_t zone(NodeId node) const { return zone_[node.index()]; }
    // The string between two points that has the highest voltage; none: no panel lies between.
    PanelString between(NodeId minus, NodeId plus) const;
    // The string with the highest voltage that ends in a point, wherever it begins.
    PanelString up_to(NodeId plus) const;

  private:
    struct Best {
        bool reached = false;
        PanelString string;
    };
    void follow(std::vector<Best>& best) const;

    const Circuit& circuit_;
    std::vector<double> open_circuit_V_;
    std::vector<EdgeId> steps_;        // panels, then diodes
    std::vector<std::uint32_t> zone_;  // by NodeId
};

// By EdgeId: whether panels can drive a current through it: it lies in one loop with a panel and with a panel
// input or something that uses power. `passes(EdgeId)`: conductors that are closed. Drawn on the graph;
// nothing is solved.
std::vector<bool> panel_loops(const Circuit& circuit, const std::function<bool(EdgeId)>& passes);

}  // namespace loomward
