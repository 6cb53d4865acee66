#include "checker/circuit/feed_strength.hpp"

#include <algorithm>
#include <limits>
#include <queue>

namespace loomward {

using namespace literals;

namespace {

double lets_through_A(const Circuit& circuit, const Edge& edge) {
    if (!is_protective(edge.role)) return std::numeric_limits<double>::infinity();
    const Value rated =
        circuit.harness->value(circuit.harness->part(edge.part).attributes, "(rated-current)"_attr);
    const bool known = rated.present() && rated.quantity().is_known();
    return known ? rated.quantity().hi : std::numeric_limits<double>::infinity();
}

}  // namespace

std::vector<double> feed_strength_A(const Circuit& circuit, const std::vector<bool>& left_out) {
    std::vector<double> strength(circuit.node_count(), 0);
    std::priority_queue<std::pair<double, std::size_t>> next;  // the strongest first
    const auto reach = [&](NodeId node, double amps) {
        if (amps <= strength[node.index()]) return;
        strength[node.index()] = amps;
        next.emplace(amps, node.index());
    };
    for (const Edge& edge : circuit.edges)
        if (is_source(edge.role))
            for (const NodeId pole : {edge.from, edge.to})
                reach(pole, std::numeric_limits<double>::infinity());
    while (!next.empty()) {
        const auto [amps, at] = next.top();
        next.pop();
        if (amps < strength[at]) continue;
        for (const Incidence& incidence : circuit.at(NodeId(at))) {
            const Edge& edge = circuit.edge(incidence.edge);
            if (!conducts(edge.role) || (!left_out.empty() && left_out[incidence.edge.index()])) continue;
            const double passes_A = std::min(amps, lets_through_A(circuit, edge));
            if (edge.from.index() == at) reach(edge.to, passes_A);
            if (edge.to.index() == at && !one_way(edge.role)) reach(edge.from, passes_A);
        }
    }
    return strength;
}

}  // namespace loomward
