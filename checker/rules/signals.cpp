// Signal leads: what could be pushed into a lead that is there to carry next to nothing.
//
// A lead between signal pins carries microamperes, so nobody sizes or fuses it. The claim holds only while no
// source can reach it: the largest current that could flow in it for long (checker/proof) is compared with
// the policy.
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"signal-current",
     "a lead that ends at a signal pin and into which some source can push more than the policy allows",
     "largest current that can flow for long (minimum cut of the devices on the way) <= signal-current",
     "policy signal-current, no source",
     "every switch counts as closed; a short inside a device is not counted",
     "splice X1\ndevice A1 { pin level signal }\nroute X1 (W30 0.5 mm2, 1 m, white) A1.level", "splice X1"},
};

bool is_signal(const Harness& harness, TerminalId id) {
    const Terminal& terminal = harness.terminal(id);
    for (const Attribute& attribute : harness.attributes_of(harness.part(terminal.part).attributes)) {
        if (attribute.name != "pin"_attr) continue;
        const auto values = harness.values_of(attribute);
        if (values[0].text == terminal.role) return values[1].text == "signal";
    }
    return false;
}

void run(const RuleInput& input, Report& report) {
    const double allowed_A = input.facts.policy("signal-current"_attr).hi;
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        const Wire& wire = input.harness.wires[i];
        const Bound& bound = input.proof.wires[i].with_electronics;
        if (input.proof.wires[i].side != Side::forward || bound.current_A <= allowed_A) continue;
        if (!is_signal(input.harness, wire.from) && !is_signal(input.harness, wire.to)) continue;
        Finding finding = finding_about(input, "signal-current", Severity::warning, WireId(i));
        const bool endless = bound.current_A == unbounded_A;
        finding.message = named(input.harness, WireId(i)) + " is a signal lead that a source can feed";
        finding.beside = (endless ? "without any limit" : "up to " + amps(bound.current_A)) + "; " +
                         amps(allowed_A) + " allowed";
        for (const EdgeId device : bound.cut) {
            const PartId part = input.circuit.edge(device).part;
            finding.working.push_back("held by " + named(input.harness, part));
            finding.related.push_back(
                {input.harness.part(part).where, named(input.harness, part) + " is here"});
        }
        if (endless) finding.working.push_back("no device stands between a source and this lead");
        finding.source = "policy signal-current, no source";
        finding.help = "a resistor or a small fuse where it leaves the source";
        report.add(std::move(finding));
    }
}

}  // namespace

extern const RuleFamily signals;
const RuleFamily signals{infos, run};

}  // namespace loomward::rules
