// Shortest path by resistance (Dijkstra 1959); Ohm's law for each piece.
#include "checker/currents/measured_way.hpp"

#include <algorithm>
#include <limits>
#include <queue>

#include "checker/parts/elements.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {
namespace {

double worst_resistance_ohm(const Results& results, const Facts& facts, const Edge& edge) {
    const double limit_degC = edge.wire ? results.harness->wire(edge.wire).insulation_limit_degC : 20;
    return resistance_ohm(results.circuit, facts, edge, Corner::run_hot, limit_degC);
}

// The edges from one node to another, in order; empty where there is no way.
std::vector<EdgeId> least_resistance(const Results& results, const std::vector<double>& resistances_ohm,
                                     NodeId from, NodeId to) {
    const Circuit& circuit = results.circuit;
    constexpr double unreached = std::numeric_limits<double>::infinity();
    std::vector<double> distance(circuit.node_count(), unreached);
    std::vector<EdgeId> by(circuit.node_count());
    std::vector<NodeId> before(circuit.node_count());
    using Entry = std::pair<double, std::size_t>;
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
    distance[from.index()] = 0;
    queue.emplace(0, from.index());
    while (!queue.empty()) {
        const auto [so_far, here] = queue.top();
        queue.pop();
        if (so_far > distance[here]) continue;
        for (const Incidence& each : circuit.at(NodeId(here))) {
            if (!is_conductor(circuit.edge(each.edge).role)) continue;
            const double next = so_far + resistances_ohm[each.edge.index()];
            if (next >= distance[each.other.index()]) continue;
            distance[each.other.index()] = next;
            by[each.other.index()] = each.edge;
            before[each.other.index()] = NodeId(here);
            queue.emplace(next, each.other.index());
        }
    }
    std::vector<EdgeId> edges;
    if (distance[to.index()] == unreached) return edges;
    for (NodeId at = to; at != from; at = before[at.index()]) edges.push_back(by[at.index()]);
    std::reverse(edges.begin(), edges.end());
    return edges;
}

}  // namespace

std::optional<MeasuredWay> measured_way(const Results& results, TerminalId from, TerminalId to,
                                        double current_A) {
    const Circuit& circuit = results.circuit;
    const Facts facts(*results.harness);
    std::vector<double> resistances_ohm(circuit.edges.size(), 0);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (is_conductor(circuit.edges[i].role))
            resistances_ohm[i] = worst_resistance_ohm(results, facts, circuit.edges[i]);
    const std::vector<EdgeId> edges =
        least_resistance(results, resistances_ohm, circuit.node(from), circuit.node(to));
    if (edges.empty()) return std::nullopt;
    MeasuredWay path;
    path.current_A = current_A;
    if (!(current_A > 0)) {
        path.current_A = 0;
        for (const EdgeId id : edges)
            if (const WireId wire = circuit.edge(id).wire; wire)
                path.current_A = std::max(path.current_A, results.wires[wire.index()].current_A);
        if (!(path.current_A > 0)) path.current_A = 1;
    }
    for (const EdgeId id : edges) {
        const double ohm = resistances_ohm[id.index()];
        path.pieces.push_back({id, ohm, ohm * path.current_A});
        path.drop_V += path.pieces.back().drop_V;
    }
    return path;
}

}  // namespace loomward
