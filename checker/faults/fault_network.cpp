#include "checker/faults/fault_network.hpp"

#include <algorithm>

#include "checker/faults/standing_voltage.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/capacitor_banks.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double source_ohm = 1e-3;  // inside a source that limits itself, a diode and a small capacitor
// Large capacitors are double layers, of which farad times ohm is a quarter of a second or more (memory).
constexpr double double_layer_F = 0.1;
constexpr double double_layer_s = 0.25;
// Less than this heats no more than a few centimetres of the thinnest wire to its limit.
constexpr double least_stored_J = 20;

FaultBranch limited(double volts, double amps) {
    FaultBranch branch;
    branch.conducts = volts > 0 && amps > 0;
    branch.resistance_ohm = source_ohm;
    branch.voltage_V = volts;
    branch.limit_A = amps;
    branch.one_way = true;
    return branch;
}

FaultBranch plain(double ohm) {
    FaultBranch branch;
    branch.conducts = true;
    branch.resistance_ohm = ohm;
    return branch;
}

// The voltage a source that limits itself holds, V.
double held_V(const Facts& facts, const Circuit& circuit, const Edge& edge) {
    if (edge.role != EdgeRole::output_pin)
        return facts.quantity(edge.part, output_attribute(*circuit.harness, edge.part))
            .value_or(Quantity{})
            .hi;
    return circuit.harness->voltage_of(pin_of(*circuit.harness, edge)).hi;
}

double conductor_degC(const Facts& facts, const Edge& edge, Corner corner) {
    if (!edge.wire) return 20;
    return corner == Corner::fault_max ? facts.ambient(edge.wire).lo : conductor_limit_degC(facts, edge.wire);
}

FaultBranch branch_of(const Circuit& circuit, const Facts& facts, const Capacities& capacities,
                      const Edge& edge, Corner corner) {
    switch (edge.role) {
        case EdgeRole::emf: {
            const auto section = pack_section(circuit, facts, edge, corner);
            if (!section) return {};  // rule missing-data says so
            FaultBranch branch = plain(section->resistance_ohm);
            branch.voltage_V = section->voltage_V;
            return branch;
        }
        case EdgeRole::charger:
        case EdgeRole::converter_output:
        case EdgeRole::output_pin: {
            const double amps = capacities.source_A(edge);
            return amps < unbounded_A ? limited(held_V(facts, circuit, edge), amps) : FaultBranch{};
        }
        case EdgeRole::diode:
        case EdgeRole::converter_reverse: {
            if (edge.role == EdgeRole::converter_reverse && capacities.guard_A(edge, true) < 0) return {};
            FaultBranch branch = plain(source_ohm);
            branch.one_way = true;
            const auto drop =
                edge.role == EdgeRole::diode ? facts.quantity(edge.part, "drop"_attr) : std::nullopt;
            branch.voltage_V = -(drop ? drop->lo : 0.5);
            return branch;
        }
        case EdgeRole::resistor:
            return plain(resistance_ohm(circuit, facts, edge, corner, 20));
        default:
            if (!is_conductor(edge.role)) return {};
            return plain(resistance_ohm(circuit, facts, edge, corner, conductor_degC(facts, edge, corner)));
    }
}

}  // namespace

FaultNetwork::FaultNetwork(const Circuit& circuit, const Facts& facts, Corner corner,
                           const std::vector<bool>& open)
    : circuit_(circuit), corner_(corner), branches_(circuit.edges.size()) {
    const Capacities capacities(circuit, facts);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!open[i] && edge.from != edge.to)
            branches_[i] = branch_of(circuit, facts, capacities, edge, corner);
    }
    if (corner == Corner::fault_max) charge_capacitors(facts, open);
    lay_lines();
}

// What a whole bank holds decides whether it counts: many small ones are one.
void FaultNetwork::charge_capacitors(const Facts& facts, const std::vector<bool>& open) {
    const CapacitorBanks banks(circuit_, facts, open);
    std::optional<StandingVoltage> standing;
    for (std::size_t i = 0; i < branches_.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.role != EdgeRole::capacitor) continue;
        const double farad = capacitance_F(facts, edge);
        if (farad <= 0) continue;
        if (!standing) standing.emplace(circuit_, branches_);
        const double volts = standing->across_V(edge.from, edge.to);
        if (volts <= 0 || banks.farad(EdgeId(i)) * volts * volts / 2 < least_stored_J) continue;
        const bool double_layer = farad >= double_layer_F;
        branches_[i] = plain(double_layer ? double_layer_s / farad : source_ohm);
        if (double_layer)
            facts.assume("resistance of a capacitor above 0.1 F in a short circuit", "0.25 s / capacitance",
                         "double-layer capacitors (memory)", facts.harness().part(edge.part).name);
        branches_[i].voltage_V = -volts;  // the edge leads from its plus to its minus
        branches_[i].charge_As = farad * volts;
    }
}

void FaultNetwork::lay_lines() {
    std::vector<FaultLines::Link> links;
    for (std::size_t i = 0; i < branches_.size(); ++i) {
        const FaultBranch& branch = branches_[i];
        if (!branch.conducts) continue;
        const Edge& edge = circuit_.edges[i];
        const bool plain =
            !branch.one_way && branch.voltage_V == 0 && branch.charge_As == 0 && !opens_on_current(edge.role);
        const bool watched =
            (edge.role == EdgeRole::switching || edge.role == EdgeRole::contact) &&
            circuit_.harness->find(circuit_.harness->part(edge.part).attributes, "withstands"_attr);
        links.push_back({EdgeId(i), edge.from, edge.to, plain, branch.resistance_ohm,
                         edge.wire ? circuit_.harness->wire(edge.wire).length.hi : 0, watched});
    }
    lines_.emplace(circuit_.node_count(), links);
}

}  // namespace loomward
