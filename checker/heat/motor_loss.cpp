#include "checker/heat/motor_loss.hpp"

#include <algorithm>
#include <cmath>

#include "checker/currents/profile.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double nothing_A = 1e-6;

NodeId lead_node(const Circuit& circuit, PartId motor) {
    const Part& part = circuit.harness->part(motor);
    return part.terminals.count > 0 ? circuit.node(TerminalId(part.terminals.first)) : NodeId();
}

std::optional<EdgeId> supply_edge(const Circuit& circuit, PartId controller) {
    if (!controller) return std::nullopt;
    for (const EdgeId id : circuit.edges_of_part[controller.index()])
        if (circuit.edge(id).role == EdgeRole::controller) return id;
    return std::nullopt;
}

}  // namespace

EdgeId motor_lead(const Circuit& circuit, PartId motor) {
    const NodeId node = lead_node(circuit, motor);
    if (!node) return {};
    for (const Incidence& lead : circuit.at(node)) return lead.edge;
    return {};
}

PartId controller_of(const Circuit& circuit, PartId motor) {
    const NodeId node = lead_node(circuit, motor);
    if (!node || !motor_lead(circuit, motor)) return {};
    const std::uint32_t island = circuit.island_of_node[node.index()];
    const Harness& harness = *circuit.harness;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Part& part = harness.parts[i];
        if (part.kind != Kind::controller) continue;
        for (std::uint32_t k = 0; k < part.terminals.count; ++k) {
            const TerminalId terminal(part.terminals.first + k);
            if (is_motor_lead(harness.terminal(terminal).role) &&
                circuit.island_of_node[circuit.node(terminal).index()] == island)
                return PartId(i);
        }
    }
    return {};
}

double motor_current_A(const Circuit& circuit, PartId motor, const OperatingPoint& point) {
    double most_A = 0;
    const NodeId node = lead_node(circuit, motor);
    if (!node) return 0;
    for (const Incidence& lead : circuit.at(node))
        most_A = std::max(most_A, std::abs(point.edge_A[lead.edge.index()]));
    if (most_A > nothing_A) return most_A;
    const auto supply = supply_edge(circuit, controller_of(circuit, motor));
    return supply ? std::abs(point.edge_A[supply->index()]) : 0;
}

bool motor_losses_known(const Facts& facts, PartId motor) {
    return facts.quantity(motor, "losses"_attr) || facts.quantity(motor, "efficiency"_attr) ||
           facts.quantity(motor, "resistance"_attr);
}

HeatSource motor_loss_at(const Circuit& circuit, const Facts& facts, const OperatingPoint& point,
                         PartId motor) {
    HeatSource source;
    source.part = motor;
    source.subject = circuit.harness->part(motor).name;
    const double now_A = motor_current_A(circuit, motor, point);
    if (now_A <= nothing_A) return source;
    if (const auto stated = facts.quantity(motor, "losses"_attr)) {
        const auto at = facts.quantity(motor, "losses"_attr, 1);
        const double over = at && at->lo > 0 ? std::max(1.0, now_A / at->lo) : 1;
        source.loss_W = stated->hi * over * over;
        source.working = watts(source.loss_W) + " stated";
        if (at)
            source.working =
                watts(source.loss_W) + " (stated " + watts(stated->hi) + " at " + amps(at->lo) + ")";
        return source;
    }
    const auto efficiency = facts.quantity(motor, "efficiency"_attr);
    const PartId controller = controller_of(circuit, motor);
    if (const auto supply = supply_edge(circuit, controller); efficiency && supply) {
        const Edge& edge = circuit.edge(*supply);
        const double through_W = std::abs((point.node_V[edge.from.index()] - point.node_V[edge.to.index()]) *
                                          point.edge_A[supply->index()]);
        source.loss_W = through_W * (1 - std::min(1.0, efficiency->lo / 100));
        source.working = watts(source.loss_W) + " = " + watts(through_W) + " x (1 - " +
                         to_text(efficiency->lo, Dimension::percentage) + "), of all that " +
                         std::string(circuit.harness->part(controller).name) + " takes";
        return source;
    }
    const auto resistance = facts.quantity(motor, "resistance"_attr);
    if (!resistance) return source;
    const auto limit = facts.quantity(motor, "limit"_attr);
    const double hot_degC = limit ? std::max(limit->lo, 20.0) : 20;
    const double ohm = at_temperature(resistance->hi, hot_degC, false);
    const bool direct = circuit.harness->part(motor).terminals.count == 2;
    source.loss_W = (direct ? 1 : 0.75) * now_A * now_A * ohm;
    source.working = watts(source.loss_W) + " = " + (direct ? "" : "0.75 x ") + "(" + amps(now_A) + ")^2 x " +
                     to_text(ohm, Dimension::resistance) + ", its resistance at " + degrees(hot_degC);
    return source;
}

}  // namespace loomward
