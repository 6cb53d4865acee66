// Frames that bond and are used as a return all the same.
#include <cmath>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules::bonding {
namespace {

using namespace literals;

constexpr double leakage_A = 0.01;  // below this it is leakage, not use

constexpr RuleInfo infos[] = {
    {"bond-current", "a wire on a frame that serves as bond, and that carries current in some mode",
     "no current in a bond", "common practice, no source",
     "over 10 mA; what flows inside the frame between two of its wires shows on those wires",
     "splice X1\nframe X9 { serves bond }\nload H9 { 48 V, 10 W }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) H9 (W31 1 mm2, 0.3 m, black) X9\nroute X9 (W32 4 mm2, 0.5 m) Q1.P-",
     "splice X1"},
};

bool is_bond(const RuleInput& input, PartId part) {
    return input.harness.part(part).kind == Kind::frame && input.facts.word(part, "serves"_attr) == "bond";
}

void judge(const RuleInput& input, WireId id, Report& report) {
    const Wire& wire = input.harness.wire(id);
    PartId bond;
    for (const TerminalId end : {wire.from, wire.to})
        if (const PartId part = input.harness.terminal(end).part; is_bond(input, part)) bond = part;
    if (!bond) return;
    const EdgeId edge = input.circuit.edge_of_wire[id.index()];
    const OperatingPoint* worst = nullptr;
    for (const OperatingPoint& point : input.points)
        if (point.usable() && std::abs(point.edge_A[edge.index()]) > leakage_A &&
            (!worst || std::abs(point.edge_A[edge.index()]) > std::abs(worst->edge_A[edge.index()])))
            worst = &point;
    if (!worst) return;
    const double current_A = std::abs(worst->edge_A[edge.index()]);
    Finding finding = finding_about(input, "bond-current", Severity::error, id);
    finding.message = named(input.harness, id) + " sends current through the bond " +
                      std::string(input.harness.part(bond).name);
    finding.beside = amps(current_A) + "; a bond carries none";
    finding.working = {amps(current_A) + " > " + amps(leakage_A)};
    finding.figures = {{"current", current_A, Dimension::current}};
    finding.source = "common practice, no source";
    witnessed(input, finding, *worst, edge);
    finding.related.push_back({input.harness.part(bond).where, named(input.harness, bond) + " is here"});
    finding.help = "a return of its own, or a frame that serves as return";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) judge(input, WireId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::bonding
