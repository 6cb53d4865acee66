// The circuit as the proof of checker/proof sees it: points joined by plain conductors are one zone, and what
// lies between zones are devices, each with what it lets pass for long.
#pragma once
#include <vector>

#include "checker/circuit/flow.hpp"
#include "checker/parts/capacities.hpp"

namespace loomward {

class GuardNetwork {
  public:
    // `open` by EdgeId: contacts that this position of the selectors leaves open; outlives the network.
    GuardNetwork(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open);

    const Circuit& circuit() const { return circuit_; }
    std::uint32_t zone_count() const { return zones_; }
    std::uint32_t zone(NodeId node) const { return zone_[node.index()]; }
    // Negative: it does not conduct. `electronics`: the trips of a BMS count.
    double capacity_A(EdgeId edge, bool electronics) const {
        return (electronics ? capacity_with_ : capacity_without_)[edge.index()];
    }
    double source_A(const Edge& edge) const { return capacities_.source_A(edge); }

    // Bounds of all zones from the sources' plus; cuts are edges of the circuit. `limits`: sources that limit
    // themselves are taken at their word.
    std::vector<FlowBound> forward(bool electronics, bool limits = true) const;
    // Fuses and breakers whose two ends lie in one zone.
    std::vector<EdgeId> bypassed() const;

  private:
    void contract(const std::vector<bool>& open);
    std::vector<FlowEdge> device_edges(bool electronics, std::vector<EdgeId>& edge_of) const;

    const Circuit& circuit_;
    Capacities capacities_;
    std::uint32_t zones_ = 0;
    std::vector<std::uint32_t> zone_;                       // by NodeId
    std::vector<double> capacity_with_, capacity_without_;  // by EdgeId
};

// The same bounds with the edges that `edge_of` stands for in their cuts.
std::vector<FlowBound> in_circuit_edges(std::vector<FlowBound> bounds, const std::vector<EdgeId>& edge_of);

}  // namespace loomward
