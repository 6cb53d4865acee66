#include "checker/circuit/feeding_diodes.hpp"

#include "checker/circuit/on_poles.hpp"

namespace loomward {

std::vector<EdgeId> diodes_that_feed(const Circuit& circuit, DisjointSets& nets) {
    PackPoles poles(circuit, nets);
    std::vector<EdgeId> feeding;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!one_way(edge.role)) continue;
        const bool against = (poles.minus(edge.from) && !poles.plus(edge.from)) ||
                             (poles.plus(edge.to) && !poles.minus(edge.to));
        if (!against) feeding.emplace_back(i);
    }
    return feeding;
}

}  // namespace loomward
