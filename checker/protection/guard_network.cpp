#include "checker/protection/guard_network.hpp"

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {
namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

}  // namespace

GuardNetwork::GuardNetwork(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open)
    : circuit_(circuit), capacities_(circuit, facts) {
    contract(open);
}

// Nodes joined by plain conductors are one zone; the edges between zones are devices.
void GuardNetwork::contract(const std::vector<bool>& open) {
    DisjointSets sets(circuit_.node_count());
    capacity_with_.resize(circuit_.edges.size());
    capacity_without_.resize(circuit_.edges.size());
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        capacity_with_[i] = open[i] ? -1 : capacities_.guard_A(edge, true);
        capacity_without_[i] = open[i] ? -1 : capacities_.guard_A(edge, false);
        if (capacity_with_[i] == unbounded_A && capacity_without_[i] == unbounded_A &&
            !opens_on_current(edge.role))
            sets.join(edge.from.index(), edge.to.index());
    }
    zone_.assign(circuit_.node_count(), 0);
    std::vector<std::uint32_t> number(circuit_.node_count(), none);
    for (std::size_t i = 0; i < circuit_.node_count(); ++i) {
        std::uint32_t& of_root = number[sets.find(i)];
        if (of_root == none) of_root = zones_++;
        zone_[i] = of_root;
    }
}

std::vector<EdgeId> GuardNetwork::bypassed() const {
    std::vector<EdgeId> devices;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        const bool device = is_protective(edge.role);
        if (device && zone(edge.from) == zone(edge.to)) devices.push_back(EdgeId(i));
    }
    return devices;
}

// Device edges between zones; `edge_of` remembers which edge of the circuit each is.
std::vector<FlowEdge> GuardNetwork::device_edges(bool electronics, std::vector<EdgeId>& edge_of) const {
    std::vector<FlowEdge> edges;
    edge_of.clear();
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        const double capacity = electronics ? capacity_with_[i] : capacity_without_[i];
        if (capacity < 0 || zone(edge.from) == zone(edge.to)) continue;
        edges.push_back({zone(edge.from), zone(edge.to), capacity});
        edge_of.push_back(EdgeId(i));
    }
    return edges;
}

std::vector<FlowBound> GuardNetwork::forward(bool electronics, bool limits) const {
    std::vector<EdgeId> edge_of;
    std::vector<FlowEdge> edges = device_edges(electronics, edge_of);
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (!is_source(edge.role)) continue;
        edges.push_back({zones_, zone(edge.to), limits ? capacities_.source_A(edge) : unbounded_A});
        edge_of.push_back(EdgeId(i));
    }
    return in_circuit_edges(flows_from(zones_, zones_ + 1, edges), edge_of);
}
std::vector<FlowBound> in_circuit_edges(std::vector<FlowBound> bounds, const std::vector<EdgeId>& edge_of) {
    for (FlowBound& bound : bounds)
        for (std::uint32_t& edge : bound.cut) edge = edge_of[edge].value;
    return bounds;
}

}  // namespace loomward
