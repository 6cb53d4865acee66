#include "checker/currents/converter_limits.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

ConverterLimits::ConverterLimits(const Circuit& circuit, const Facts& facts,
                                 const std::vector<std::uint32_t>& supply_of_node)
    : circuit_(circuit), facts_(facts), supply_of_node_(supply_of_node) {
    // Its own way back, or that of another converter, does not make what feeds it a pack to be charged.
    DisjointSets joined(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (is_conductor(edge.role) && edge.role != EdgeRole::converter_reverse)
            joined.join(edge.from.index(), edge.to.index());
    std::vector<bool> has_pack(circuit.node_count(), false);
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf) has_pack[joined.find(edge.to.index())] = true;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role != EdgeRole::converter_output && edge.role != EdgeRole::output_pin) continue;
        outputs_.emplace_back(i);
        charges_.push_back(has_pack[joined.find(edge.to.index())]);
    }
}

bool ConverterLimits::gives_way(const OperatingPoint& point, EdgeId output) const {
    const auto place = std::lower_bound(outputs_.begin(), outputs_.end(), output);
    if (place == outputs_.end() || *place != output) return false;
    if (charges_[static_cast<std::size_t>(place - outputs_.begin())] || !point.usable()) return false;
    const Edge& edge = circuit_.edge(output);
    const std::optional<Output> rated = output_of(facts_, edge);
    if (!rated || point.edge_A[output.index()] < rated->current_A * 0.999) return false;
    return point.node_V[edge.to.index()] - point.node_V[edge.from.index()] <= rated->voltage_V * 0.99 ||
           held_load(point, output).valid();
}

EdgeId ConverterLimits::held_load(const OperatingPoint& point, EdgeId output) const {
    const auto supply = [&](NodeId node) { return supply_of_node_[node.index()]; };
    for (const EdgeId load : point.collapsed)
        if (supply(circuit_.edge(load).from) == supply(circuit_.edge(output).to)) return load;
    return {};
}

bool ConverterLimits::feeds(const OperatingPoint& point, NodeId node) const {
    return std::any_of(outputs_.begin(), outputs_.end(), [&](EdgeId output) {
        return supply_of_node_[circuit_.edge(output).to.index()] == supply_of_node_[node.index()] &&
               gives_way(point, output);
    });
}

}  // namespace loomward
