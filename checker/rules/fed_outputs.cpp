// Outputs that something else feeds while their device is off.
#include <algorithm>

#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::fed_outputs {
namespace {

constexpr double body_diode_V = 0.5;  // no current goes back through an output below that (no source)

constexpr RuleInfo infos[] = {
    {"back-fed-output",
     "an output of a device that is off, or without a supply, and that something else feeds: the current "
     "goes "
     "into it backwards",
     "U_output <= U_supply + 0.5 V in every mode in which the output is off", "common practice, no source",
     "the drop of the diode that lies across an output is taken as 0.5 V; outputs of converters are another "
     "rule",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none\n"
     "  pin lamp high-side 1 A }\nroute F2.out (W60 1 mm2, 0.3 m, red) U1.lamp",
     "controller U1 { input 30..60 V, capacitance 3 mF, supply-limit 40 A, phase-peak 70 A, regen none }"},
};

// The voltage of an output's own supply and of the output, over the return they share.
struct OutputVolts {
    double supply_V = 0, output_V = 0;
};
OutputVolts volts_at(const RuleInput& input, const Edge& edge, const OperatingPoint& point) {
    const auto at = [&](NodeId node) { return point.node_V[node.index()]; };
    // A high side goes from the supply to the pin; the return is the part's other pole.
    if (edge.role == EdgeRole::high_side) {
        for (const EdgeId id : input.circuit.edges_of_part[edge.part.index()]) {
            const Edge& other = input.circuit.edge(id);
            const bool own = other.role == EdgeRole::controller || other.role == EdgeRole::converter_input ||
                             other.role == EdgeRole::supply_pin;
            if (own && other.from == edge.from)
                return {at(edge.from) - at(other.to), at(edge.to) - at(other.to)};
        }
        return {0, at(edge.to) - at(edge.from)};
    }
    return {0, at(edge.to) - at(edge.from)};
}

// What an output pin gives by itself, V.
double given_V(const RuleInput& input, const Edge& edge) {
    const auto volts_V = pin_voltage(input.harness, pin_of(input.harness, edge));
    return volts_V ? volts_V->hi : 0;
}

void report_back_fed(const RuleInput& input, const Edge& edge, const OutputVolts& at,
                     const OperatingPoint& point, Report& report) {
    const std::string pin(input.harness.terminal(edge.to_terminal).path);
    Finding finding = finding_about(input, "back-fed-output", Severity::warning, edge.part);
    finding.subject = pin;
    finding.message = "output " + pin + " is fed from outside while " + named(input.harness, edge.part) +
                      (at.supply_V < 1 ? " has no supply" : " has less");
    finding.beside = volts(at.output_V) + " at the output; " + volts(at.supply_V) + " behind it";
    finding.working = {volts(at.output_V) + " > " + volts(at.supply_V) + " + " + volts(body_diode_V) +
                       " (the diode that lies across an output)"};
    finding.figures = {{"output", at.output_V, Dimension::voltage},
                       {"supply", at.supply_V, Dimension::voltage}};
    finding.source = "common practice, no source";
    finding.mode = point.mode;
    finding.corner = point.corner;
    EdgeId strongest;
    double most_A = 1e-6;
    for (const Incidence& next : input.circuit.at(edge.to))
        if (const double now_A = std::abs(point.edge_A[next.edge.index()]); now_A > most_A)
            most_A = now_A, strongest = next.edge;
    if (strongest) finding.witness = current_path(input.circuit, point, strongest);
    finding.help = "a diode at the output, or a load of its own for what feeds it";
    report.add(std::move(finding));
}

void judge_outputs(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        const bool pin = edge.role == EdgeRole::output_pin;
        if (!pin && edge.role != EdgeRole::high_side) continue;
        const OperatingPoint* worst = nullptr;
        OutputVolts worst_at;
        for (const OperatingPoint& point : input.points) {
            if (!point.usable()) continue;
            if (!pin && is_closed(input.circuit, input.harness.modes[point.mode.index()], edge)) continue;
            OutputVolts at = volts_at(input, edge, point);
            if (pin) at.supply_V = given_V(input, edge);
            if (at.output_V <= at.supply_V + body_diode_V) continue;
            if (!can_be_fed(input.circuit, input.harness.modes[point.mode.index()], edge.to, EdgeId(i)))
                continue;
            const double over_V = at.output_V - at.supply_V, known_V = worst_at.output_V - worst_at.supply_V;
            if (!worst || over_V > known_V * (1 + 1e-9)) worst = &point, worst_at = at;
        }
        if (worst) report_back_fed(input, edge, worst_at, *worst, report);
    }
}

void run(const RuleInput& input, Report& report) {
    judge_outputs(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::fed_outputs
