#include "checker/faults/standing_voltage.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace loomward {

StandingVoltage::StandingVoltage(const Circuit& circuit, const std::vector<FaultBranch>& branches)
    : parent_(circuit.node_count()), above_parent_V_(parent_.size(), 0), size_(parent_.size(), 1) {
    std::iota(parent_.begin(), parent_.end(), 0U);
    std::vector<std::uint32_t> packs, limited, through;
    for (std::uint32_t i = 0; i < branches.size(); ++i) {
        if (!branches[i].conducts) continue;
        const Edge& edge = circuit.edges[i];
        if (edge.role == EdgeRole::emf)
            packs.push_back(i);
        else if (branches[i].voltage_V > 0)
            limited.push_back(i);
        else if (edge.role == EdgeRole::resistor || branches[i].one_way)
            through.push_back(i);
        else if (edge.role != EdgeRole::capacitor)
            join(edge.from.value, edge.to.value, 0);
    }
    for (std::vector<std::uint32_t>* sources : {&packs, &limited}) {
        std::stable_sort(sources->begin(), sources->end(), [&](std::uint32_t a, std::uint32_t b) {
            return branches[a].voltage_V > branches[b].voltage_V;
        });
        for (const std::uint32_t i : *sources)
            join(circuit.edges[i].from.value, circuit.edges[i].to.value, branches[i].voltage_V);
    }
    // A bleed resistor or a diode across a load lies between two voltages; one in line hands its own on.
    for (const std::uint32_t i : through) join(circuit.edges[i].from.value, circuit.edges[i].to.value, 0);
}

std::pair<std::uint32_t, double> StandingVoltage::find(std::uint32_t node) {
    double above_V = 0;
    for (; parent_[node] != node; node = parent_[node]) above_V += above_parent_V_[node];
    return {node, above_V};
}

void StandingVoltage::join(std::uint32_t lower, std::uint32_t upper, double volts) {
    auto [a, a_V] = find(lower);
    auto [b, b_V] = find(upper);
    if (a == b) return;
    double b_above_a_V = a_V + volts - b_V;
    if (size_[a] < size_[b]) {
        std::swap(a, b);
        b_above_a_V = -b_above_a_V;
    }
    parent_[b] = a;
    above_parent_V_[b] = b_above_a_V;
    size_[a] += size_[b];
}

double StandingVoltage::across_V(NodeId plus, NodeId minus) {
    const auto [a, a_V] = find(plus.value);
    const auto [b, b_V] = find(minus.value);
    return a == b ? a_V - b_V : 0;
}

}  // namespace loomward
