#include "checker/circuit/feeding_diodes.hpp"

namespace loomward {

std::vector<EdgeId> diodes_that_feed(const Circuit& circuit, DisjointSets& nets) {
    std::vector<bool> plus(circuit.node_count(), false), minus = plus;
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::emf) continue;
        plus[nets.find(edge.to.index())] = true;
        minus[nets.find(edge.from.index())] = true;
    }
    std::vector<EdgeId> feeding;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!one_way(edge.role)) continue;
        const std::size_t anode = nets.find(edge.from.index()), cathode = nets.find(edge.to.index());
        const bool against = (minus[anode] && !plus[anode]) || (plus[cathode] && !minus[cathode]);
        if (!against) feeding.emplace_back(i);
    }
    return feeding;
}

}  // namespace loomward
