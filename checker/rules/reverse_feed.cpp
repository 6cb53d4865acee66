// Converters that a mode has passing a current backwards, from what they feed to what feeds them.
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::reverse_feed {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"fed-backwards",
     "a converter that passes a current from its output to its input in some mode, because a source stands "
     "at "
     "its output and its input is dead: what its switch cuts off stays live",
     "current from the output to the input < 0.1 A, in every mode", "common practice, no source",
     "converters that block or of which nobody says whether they do; what charges empty capacitors for a "
     "moment is left out",
     "converter D1 { input 30..60 V, output 12 V 5 A, efficiency 88 %, negative common, reverse passes }\n"
     "pack B2 { voltage 11..14 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
     "fuse F9 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }\n"
     "route B2.+ (W30 1.5 mm2, 0.1 m, red) F9 (W31 1.5 mm2, 0.3 m, yellow) D1.out+\n"
     "route B2.- (W32 1.5 mm2, 0.3 m, black) D1.out-",
     "converter D1 { input 30..60 V, output 12 V 5 A, efficiency 88 %, negative common, reverse blocked }"},
};

constexpr double passes_A = 0.1;

void judge(const RuleInput& input, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const OperatingPoint* most = nullptr;
    for (const OperatingPoint& point : input.points)
        if (point.usable() && point.edge_A[id.index()] > passes_A &&
            (!most || point.edge_A[id.index()] > most->edge_A[id.index()] * 1.0001))
            most = &point;
    if (!most) return;
    const double current_A = most->edge_A[id.index()];
    const double input_V = most->node_V[edge.to.index()];
    Finding finding = finding_about(input, "fed-backwards", Severity::warning, edge.part);
    finding.message = named(input.harness, edge.part) + " is fed backwards, from its output to its input";
    finding.beside = amps(current_A) + " pass it, and " + volts(input_V) + " stand at its input";
    finding.working = {amps(current_A) + " > " + amps(passes_A)};
    finding.figures = {{"current", current_A, Dimension::current}};
    finding.source = "common practice, no source";
    witnessed(input, finding, *most, id);
    finding.help =
        "a converter that blocks (reverse blocked), a diode at its output, or a contact that parts the "
        "source from it";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::converter_reverse) judge(input, EdgeId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::reverse_feed
