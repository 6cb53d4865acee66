#include "checker/circuit/on_poles.hpp"

namespace loomward {

PackPoles::PackPoles(const Circuit& circuit, DisjointSets& pieces)
    : pieces_(pieces), plus_(circuit.node_count(), false), minus_(circuit.node_count(), false) {
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::emf) continue;
        plus_[pieces.find(edge.to.index())] = true;
        minus_[pieces.find(edge.from.index())] = true;
    }
}

std::set<PartId> on_both_poles(const Circuit& circuit, DisjointSets& pieces) {
    PackPoles poles(circuit, pieces);
    std::set<PartId> parts;
    for (const Edge& edge : circuit.edges)
        if (uses_power(edge.role) && poles.supply(edge)) parts.insert(edge.part);
    return parts;
}

}  // namespace loomward
