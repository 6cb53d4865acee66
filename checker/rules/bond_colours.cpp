// Green-yellow on anything but a bond: somebody will bolt a live lead to the frame, or cut a bond for a lead.
#include <algorithm>
#include <cmath>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/currents/largest.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::bond_colours {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"bond-colour",
     "a green-yellow wire that is no protective bond: one that a plus reaches, that carries current in some "
     "mode, or that leads to no frame which serves as bond",
     "green-yellow only between a frame that serves as bond and what is bonded to it",
     "IEC 60445: green-yellow is for protective conductors alone",
     "a bond in another colour is not looked for; a wire that reaches the frame over other green-yellow "
     "wires "
     "and contacts counts as bond",
     "(W3 16 mm2, 0.8 m, green-yellow) J1.1", "(W3 16 mm2, 0.8 m, red) J1.1"},
};

constexpr double leakage_A = 0.01;  // below this it is leakage, not use

bool is_green_yellow(const Wire& wire) {
    return (wire.colour == Colour::green && wire.second_colour == Colour::yellow) ||
           (wire.colour == Colour::yellow && wire.second_colour == Colour::green);
}

// Why it is no bond; empty where it may be one.
std::string why_not(const RuleInput& input, WireId id, DisjointSets& bonded,
                    const std::vector<bool>& has_frame) {
    const EdgeId edge = input.circuit.edge_of_wire[id.index()];
    if (input.proof.wires[id.index()].side == Side::forward) return "a source's plus reaches it";
    const double most_A = largest_A(input.points, edge);
    if (most_A > leakage_A) return amps(most_A) + " flow in it";
    if (!has_frame[bonded.find(input.circuit.edge(edge).from.index())])
        return "it leads to no frame that serves as bond";
    return {};
}

void run(const RuleInput& input, Report& report) {
    const auto& wires = input.harness.wires;
    if (std::none_of(wires.begin(), wires.end(), is_green_yellow)) return;
    DisjointSets bonded(input.circuit.node_count());
    for (const Edge& edge : input.circuit.edges) {
        const bool leads = edge.wire ? is_green_yellow(input.harness.wire(edge.wire))
                                     : edge.role == EdgeRole::joint || edge.role == EdgeRole::contact;
        if (leads) bonded.join(edge.from.index(), edge.to.index());
    }
    std::vector<bool> has_frame(input.circuit.node_count(), false);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const Part& part = input.harness.parts[i];
        if (part.kind != Kind::frame || input.facts.word(PartId(i), "serves"_attr) != "bond") continue;
        has_frame[bonded.find(input.circuit.node(TerminalId(part.terminals.first)).index())] = true;
    }
    for (std::size_t i = 0; i < wires.size(); ++i) {
        if (!is_green_yellow(wires[i])) continue;
        const std::string why = why_not(input, WireId(i), bonded, has_frame);
        if (why.empty()) continue;
        Finding finding = finding_about(input, "bond-colour", Severity::warning, WireId(i));
        finding.message = named(input.harness, WireId(i)) + " is green-yellow and no protective bond";
        finding.beside = why;
        finding.working = {"green-yellow says that it may be touched, and bolted to the frame: " + why};
        finding.source = "IEC 60445: green-yellow is for protective conductors alone";
        finding.help = "another colour, over its whole length";
        report.add(std::move(finding));
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::bond_colours
