#include "checker/bench/live_nets.hpp"

#include <cmath>

#include "checker/circuit/latching.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/coil_levels.hpp"

namespace loomward {

using namespace literals;

std::vector<bool> live_nodes(const Circuit& circuit, const BenchState& state) {
    DisjointSets nets = pieces(circuit, [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return is_conductor(edge.role) && is_closed(circuit, state.postures, edge);
    });
    std::vector<bool> fed(circuit.node_count(), false);
    const auto feed = [&](NodeId node) {
        const std::size_t net = nets.find(node.index());
        const bool fresh = !fed[net];
        fed[net] = true;
        return fresh;
    };
    for (const Edge& edge : circuit.edges)
        if ((edge.role == EdgeRole::emf && state.packs_on) ||
            (edge.role == EdgeRole::charger && state.chargers_on) || edge.role == EdgeRole::panel)
            feed(edge.to);
    const auto is_fed = [&](NodeId node) { return fed[nets.find(node.index())]; };
    for (bool more = true; more;) {
        more = false;
        for (const Edge& edge : circuit.edges) {
            if (one_way(edge.role) && is_fed(edge.from)) more = feed(edge.to) || more;
            if (edge.role == EdgeRole::resistor && is_fed(edge.from) != is_fed(edge.to))
                more = feed(edge.from) || feed(edge.to) || more;
            if (edge.role != EdgeRole::converter_output ||
                state.postures.states[edge.part.index()].posture == Posture::off)
                continue;
            for (const EdgeId id : circuit.edges_of_part[edge.part.index()])
                if (circuit.edge(id).role == EdgeRole::converter_input && is_fed(circuit.edge(id).from))
                    more = feed(edge.to) || more;
        }
    }
    std::vector<bool> live(circuit.node_count());
    for (std::size_t node = 0; node < live.size(); ++node) live[node] = fed[nets.find(node)];
    return live;
}

std::vector<PartId> let_go(const BenchMachine& machine, const Facts& facts, BenchState& state) {
    std::vector<PartId> released;
    const Circuit& circuit = machine.circuit();
    for (bool more = true; more;) {
        more = false;
        const BenchMachine::Live live = machine.live(state, half_charged);
        if (!live.solved) return released;
        for (const Edge& edge : circuit.edges) {
            if (edge.role != EdgeRole::coil || !is_pulled(state.postures, edge.part) ||
                is_latching(*circuit.harness, edge.part))
                continue;
            const auto rated = facts.quantity(edge.part, "coil"_attr, 0);
            const double volts = std::abs(live.node_V[edge.from.index()] - live.node_V[edge.to.index()]);
            if (!rated || volts > coil_lets_go * rated->lo) continue;
            set_pulled(circuit, state.postures, edge.part, false);
            released.push_back(edge.part);
            more = true;
        }
    }
    return released;
}

}  // namespace loomward
