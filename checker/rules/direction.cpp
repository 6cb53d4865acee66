// Two slips of the pen that no input check can see: a part walked from the wrong end, a contact walked
// against the others.
#include <algorithm>
#include <limits>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/positions.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::direction {
namespace {

constexpr RuleInfo infos[] = {
    {"walked-backwards",
     "a fuse, breaker or contactor on whose end another wire lands, and whose 'in' is farther from "
     "the "
     "packs than its 'out': a tap meant for the fused side may sit on the live one; a protector whose "
     "current "
     "enters at its 'out' in every mode",
     "R(packs to in) <= R(packs to out); I(in to out) > 0 in some mode of a protector",
     "common practice, no source",
     "needs a pack in the same circuit, in some position of selectors and change-over contacts",
     "red) F1.out>in (W2", "red) F1 (W2"},
    {"mixed-halves",
     "a unit that is wired straight to both halves of one connector: one contact was walked against the "
     "others",
     "no unit on both halves", "common practice, no source",
     "blind where each contact leads to a different unit", "black) P1.2 (W7", "black) J1.2 (W7"},
};

constexpr double least_A = 0.05;  // what is worth a word

// Ohms from the nearest pack pole to each node, over everything but loads and what is open.
std::vector<double> ohms_from_packs(const RuleInput& input, const std::vector<bool>& open) {
    std::vector<NodeId> poles;
    for (const Edge& edge : input.circuit.edges)
        if (edge.role == EdgeRole::emf) poles.insert(poles.end(), {edge.from, edge.to});
    return least_costs(input.circuit, poles,
                       [&](EdgeId id, NodeId) {
                           const Edge& edge = input.circuit.edge(id);
                           return is_conductor(edge.role) && !open[id.index()]
                                      ? resistance_ohm(input.circuit, input.facts, edge, Corner::run_full, 20)
                                      : std::numeric_limits<double>::infinity();
                       })
        .cost;
}

// ... in whichever position it is nearest: no current passes both throws of a change-over contact, so that
// what lies behind the other throw is behind no pack.
std::vector<double> ohms_from_packs(const RuleInput& input) {
    const Positions positions(input.circuit);
    std::vector<double> nearest = ohms_from_packs(input, positions.open(0));
    for (std::size_t number = 1; number < positions.count(); ++number) {
        const std::vector<double> here = ohms_from_packs(input, positions.open(number));
        for (std::size_t i = 0; i < nearest.size(); ++i) nearest[i] = std::min(nearest[i], here[i]);
    }
    return nearest;
}

void find_walked_backwards(const RuleInput& input, Report& report) {
    std::vector<std::uint32_t> landings(input.harness.terminals.size(), 0);
    for (const Wire& wire : input.harness.wires) ++landings[wire.from.index()], ++landings[wire.to.index()];
    const std::vector<double> ohms = ohms_from_packs(input);
    for (const Edge& edge : input.circuit.edges) {
        const bool one_way = is_protective(edge.role);
        const bool contact =
            edge.role == EdgeRole::switching && input.harness.part(edge.part).kind == Kind::contactor;
        if (!one_way && !contact) continue;
        const bool tapped =
            landings[edge.from_terminal.index()] > 1 || landings[edge.to_terminal.index()] > 1;
        if (!tapped || !(ohms[edge.from.index()] > ohms[edge.to.index()])) continue;
        Finding finding = finding_about(input, "walked-backwards", Severity::warning, edge.part);
        finding.message =
            named(input.harness, edge.part) + " was walked from the far end: its 'in' lies behind its 'out'";
        finding.beside = "another wire lands on it; check which side it is meant for";
        finding.working = {std::string(input.harness.terminal(edge.from_terminal).path) + " is " +
                           to_text(ohms[edge.from.index()], Dimension::resistance) + " from the packs, " +
                           std::string(input.harness.terminal(edge.to_terminal).path) + " " +
                           to_text(ohms[edge.to.index()], Dimension::resistance)};
        finding.source = "common practice, no source";
        finding.help = "write the route from the pack outwards";
        report.add(std::move(finding));
    }
}

// Electronics pass a current the wrong way through the diode of their transistor, which nothing opens.
void find_protectors_backwards(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::protector) continue;
        const OperatingPoint* worst = nullptr;
        bool ever_forwards = false;
        for (const OperatingPoint& point : input.points) {
            if (!point.usable()) continue;
            ever_forwards = ever_forwards || point.edge_A[i] > idle_A;
            if (point.edge_A[i] < -least_A && (!worst || point.edge_A[i] < worst->edge_A[i])) worst = &point;
        }
        if (!worst || ever_forwards) continue;
        Finding finding = finding_about(input, "walked-backwards", Severity::warning, edge.part);
        finding.message = named(input.harness, edge.part) + " lies the wrong way round";
        finding.beside = amps(-worst->edge_A[i]) + " enter at its 'out', and none ever at its 'in'";
        finding.working = {
            "a transistor that lies against the current passes it through its own diode and opens nothing"};
        finding.figures = {{"current", -worst->edge_A[i], Dimension::current}};
        finding.source = "common practice, no source";
        witnessed(input, finding, *worst, EdgeId(i));
        finding.help = "its 'in' towards the source; or a device that opens both ways";
        report.add(std::move(finding));
    }
}

void find_mixed_halves(const RuleInput& input, Report& report) {
    // By connector: units that hang on either half by one wire.
    std::vector<std::set<PartId>> on_own(input.harness.parts.size()), on_mate(input.harness.parts.size());
    for (const Wire& wire : input.harness.wires)
        for (const auto& [here, there] : {std::pair(wire.from, wire.to), std::pair(wire.to, wire.from)}) {
            const Terminal& contact = input.harness.terminal(here);
            const PartId unit = input.harness.terminal(there).part;
            const Kind kind = input.harness.part(unit).kind;
            if (input.harness.part(contact.part).kind != Kind::connector || kind == Kind::frame ||
                kind == Kind::connector || kind == Kind::port)
                continue;
            (contact.mate_half ? on_mate : on_own)[contact.part.index()].insert(unit);
        }
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        for (const PartId unit : on_own[i]) {
            if (!on_mate[i].contains(unit)) continue;
            Finding finding = finding_about(input, "mixed-halves", Severity::warning, PartId(i));
            finding.message = named(input.harness, unit) + " is wired straight to both halves of " +
                              named(input.harness, PartId(i));
            finding.beside = "unplugging it would not part them";
            finding.working = {"one of its contacts was walked against the others"};
            finding.source = "common practice, no source";
            finding.related.push_back(
                {input.harness.part(unit).where, named(input.harness, unit) + " is here"});
            finding.help =
                "walk that route from the same side as the others, or name the half: J1 on this side, its "
                "mate on the other";
            report.add(std::move(finding));
            break;
        }
}

void run(const RuleInput& input, Report& report) {
    find_walked_backwards(input, report);
    find_protectors_backwards(input, report);
    find_mixed_halves(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::direction
