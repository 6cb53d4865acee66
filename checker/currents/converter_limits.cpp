#include "checker/currents/converter_limits.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"

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
        if (edge.role != EdgeRole::converter_output) continue;
        outputs_.emplace_back(i);
        charges_.push_back(has_pack[joined.find(edge.to.index())]);
    }
}

bool ConverterLimits::gives_way(const OperatingPoint& point, EdgeId output) const {
    const auto place = std::lower_bound(outputs_.begin(), outputs_.end(), output);
    if (place == outputs_.end() || *place != output) return false;
    // Coils that fall off because the voltage breaks down do not speak against it; a short does.
    const bool shorted =
        std::any_of(point.contradictions.begin(), point.contradictions.end(),
                    [](const Contradiction& what) { return what.kind == Contradiction::Kind::dead_short; });
    if (shorted || (!point.contradictions.empty() && point.status != SolveStatus::collapsed)) return false;
    if (charges_[static_cast<std::size_t>(place - outputs_.begin())] || point.node_V.empty()) return false;
    const Edge& edge = input_.circuit.edge(output);
    const auto rated_V = input_.facts.quantity(edge.part, "output"_attr, 0);
    const auto limit = input_.facts.quantity(edge.part, "output"_attr, 1);
    if (!limit || !rated_V || point.edge_A[output.index()] < limit->hi * 0.999) return false;
    return point.node_V[edge.to.index()] - point.node_V[edge.from.index()] <= rated_V->lo * 0.99;
}

bool ConverterLimits::feeds(const OperatingPoint& point, NodeId node) const {
    return std::any_of(outputs_.begin(), outputs_.end(), [&](EdgeId output) {
        return input_.zones.supply_of_node[input_.circuit.edge(output).to.index()] ==
                   input_.zones.supply_of_node[node.index()] &&
               gives_way(point, output);
    });
}

}  // namespace loomward
