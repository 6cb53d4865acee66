#include "checker/circuit/on_poles.hpp"

namespace loomward {

std::set<PartId> on_both_poles(const Circuit& circuit, DisjointSets& pieces) {
    std::set<std::size_t> plus, minus;
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf)
            plus.insert(pieces.find(edge.to.index())), minus.insert(pieces.find(edge.from.index()));
    std::set<PartId> parts;
    for (const Edge& edge : circuit.edges)
        if (uses_power(edge.role) && plus.contains(pieces.find(edge.from.index())) &&
            minus.contains(pieces.find(edge.to.index())))
            parts.insert(edge.part);
    return parts;
}

}  // namespace loomward
