// The way of least resistance; Ohm's law for each piece.
#include "checker/currents/measured_way.hpp"

#include <algorithm>
#include <limits>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {
namespace {

double worst_resistance_ohm(const Circuit& circuit, const Facts& facts, const Edge& edge) {
    const double limit_degC = edge.wire ? circuit.harness->wire(edge.wire).insulation_limit_degC : 20;
    return resistance_ohm(circuit, facts, edge, Corner::run_hot, limit_degC);
}

}  // namespace

std::optional<MeasuredWay> measured_way(const Circuit& circuit, const std::vector<WireLoading>& wires,
                                        TerminalId from, TerminalId to, double current_A) {
    const Facts facts(*circuit.harness);
    std::vector<double> resistances_ohm(circuit.edges.size(), 0);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (is_conductor(circuit.edges[i].role))
            resistances_ohm[i] = worst_resistance_ohm(circuit, facts, circuit.edges[i]);
    const std::vector<EdgeId> edges =
        least_way(circuit, circuit.node(from), circuit.node(to), [&](EdgeId id, NodeId) {
            return is_conductor(circuit.edge(id).role) ? resistances_ohm[id.index()]
                                                       : std::numeric_limits<double>::infinity();
        });
    if (edges.empty()) return std::nullopt;
    MeasuredWay path;
    path.current_A = current_A;
    if (!(current_A > 0)) {
        path.current_A = 0;
        for (const EdgeId id : edges)
            if (const WireId wire = circuit.edge(id).wire; wire)
                path.current_A = std::max(path.current_A, wires[wire.index()].current_A);
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
