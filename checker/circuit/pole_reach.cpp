#include "checker/circuit/pole_reach.hpp"

#include "checker/circuit/ways.hpp"

namespace loomward {

PoleReach::PoleReach(const Circuit& circuit) {
    std::vector<NodeId> plus, minus;
    for (const Edge& edge : circuit.edges) {
        if (!is_source(edge.role) || edge.role == EdgeRole::regeneration) continue;
        plus.push_back(edge.to);
        minus.push_back(edge.from);
    }
    const auto passes = [&](EdgeId id, NodeId upstream) {
        const Edge& edge = circuit.edge(id);
        return is_conductor(edge.role) ||
               ((edge.role == EdgeRole::diode || is_driver(edge.role)) && edge.from == upstream);
    };
    plus_ = reached(circuit, plus, passes).seen;
    minus_ = reached(circuit, minus, [&](EdgeId id, NodeId downstream) {
                 return passes(id, other_end(circuit.edge(id), downstream));
             }).seen;
}

}  // namespace loomward
