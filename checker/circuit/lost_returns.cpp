#include "checker/circuit/lost_returns.hpp"

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

std::vector<bool> lost_returns(const Circuit& circuit) {
    DisjointSets joined(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (!uses(edge.role) && !is_source(edge.role) && edge.role != EdgeRole::capacitor)
            joined.join(edge.from.index(), edge.to.index());
    const auto set = [&](NodeId node) { return joined.find(node.index()); };
    std::vector<bool> has_source(circuit.node_count(), false), has_plus = has_source;
    std::vector<std::size_t> users(circuit.node_count(), 0);
    for (const Edge& edge : circuit.edges) {
        if (is_source(edge.role) && edge.role != EdgeRole::regeneration) {
            has_source[set(edge.from)] = has_source[set(edge.to)] = true;
            has_plus[set(edge.to)] = true;
        }
        if (!uses(edge.role) || set(edge.from) == set(edge.to)) continue;
        ++users[set(edge.from)];
        ++users[set(edge.to)];
    }
    std::vector<bool> lost(circuit.edges.size(), false);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        lost[i] = uses(edge.role) && has_plus[set(edge.from)] && !has_source[set(edge.to)] &&
                  users[set(edge.to)] > 1;
    }
    return lost;
}

}  // namespace loomward
