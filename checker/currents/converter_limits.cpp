#include "checker/currents/converter_limits.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

ConverterLimits::ConverterLimits(const RuleInput& input) : input_(input) {
    // Its own way back, or that of another converter, does not make what feeds it a pack to be charged.
    DisjointSets joined(input.circuit.node_count());
    for (const Edge& edge : input.circuit.edges)
        if (is_conductor(edge.role) && edge.role != EdgeRole::converter_reverse)
            joined.join(edge.from.index(), edge.to.index());
    std::vector<bool> has_pack(input.circuit.node_count(), false);
    for (const Edge& edge : input.circuit.edges)
        if (edge.role == EdgeRole::emf) has_pack[joined.find(edge.to.index())] = true;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::converter_output && edge.role != EdgeRole::output_pin) continue;
        outputs_.emplace_back(i);
        charges_.push_back(has_pack[joined.find(edge.to.index())]);
    }
}

bool ConverterLimits::gives_way(const OperatingPoint& point, EdgeId output) const {
    const auto place = std::lower_bound(outputs_.begin(), outputs_.end(), output);
    if (place == outputs_.end() || *place != output) return false;
    if (charges_[static_cast<std::size_t>(place - outputs_.begin())] || !point.usable()) return false;
    const Edge& edge = input_.circuit.edge(output);
    const std::optional<Output> rated = output_of(input_.facts, edge);
    if (!rated || point.edge_A[output.index()] < rated->current_A * 0.999) return false;
    return point.node_V[edge.to.index()] - point.node_V[edge.from.index()] <= rated->voltage_V * 0.99 ||
           held_load(point, output).valid();
}

EdgeId ConverterLimits::held_load(const OperatingPoint& point, EdgeId output) const {
    const auto supply = [&](NodeId node) { return input_.zones.supply_of_node[node.index()]; };
    for (const EdgeId load : point.collapsed)
        if (supply(input_.circuit.edge(load).from) == supply(input_.circuit.edge(output).to)) return load;
    return {};
}

bool ConverterLimits::feeds(const OperatingPoint& point, NodeId node) const {
    return std::any_of(outputs_.begin(), outputs_.end(), [&](EdgeId output) {
        return input_.zones.supply_of_node[input_.circuit.edge(output).to.index()] ==
                   input_.zones.supply_of_node[node.index()] &&
               gives_way(point, output);
    });
}

}  // namespace loomward
