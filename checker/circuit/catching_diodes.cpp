#include "checker/circuit/catching_diodes.hpp"

#include <algorithm>

namespace loomward {

CatchingDiodes::CatchingDiodes(const Circuit& circuit) : circuit_(circuit), leads_(circuit.node_count()) {
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const bool opens = edge.role == EdgeRole::switching || edge.role == EdgeRole::breaker;
        if (is_conductor(edge.role) && !opens) leads_.join(edge.from.index(), edge.to.index());
        if (edge.role == EdgeRole::diode) diodes_.emplace_back(i);
        if (edge.role == EdgeRole::resistor) resistors_.push_back(&edge);
    }
}

std::vector<EdgeId> CatchingDiodes::of(const Edge& edge, Drive::Ways driven) {
    const bool turned = driven.against && !driven.along;
    const NodeId plus = turned ? edge.to : edge.from, minus = turned ? edge.from : edge.to;
    std::vector<EdgeId> found;
    for (const EdgeId id : diodes_) {
        const Edge& diode = circuit_.edge(id);
        const bool at_minus = same(diode.from, minus), at_plus = same(diode.to, plus);
        if ((at_minus && at_plus) || (at_minus && over_resistor(diode.to, plus)) ||
            (at_plus && over_resistor(diode.from, minus)))
            found.push_back(id);
    }
    return found;
}

bool CatchingDiodes::over_resistor(NodeId a, NodeId b) {
    return std::any_of(resistors_.begin(), resistors_.end(), [&](const Edge* each) {
        return (same(each->from, a) && same(each->to, b)) || (same(each->from, b) && same(each->to, a));
    });
}

}  // namespace loomward
