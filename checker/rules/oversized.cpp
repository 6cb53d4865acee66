// Devices too large for the wire they guard.
//
// What counts is the largest current that can stand for long in the wire without any device opening
// (checker/proof): of one fuse its conventional operating current, of two feeds their sum. The limit is 1.45
// times the ampacity where the wire lies (IEC 60364-4-43 433.1), ambient and bundle included.
#include <algorithm>

#include "checker/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"oversized-fuse",
     "a wire in which more than 1.45 times its ampacity can flow for long without any device opening",
     "I2 <= 1.45 Iz; I2 the minimum cut of the conventional operating currents of the devices on the way",
     "IEC 60364-4-43 433.1",
     "every switch counts as closed, selectors one position at a time; a tap within unprotected-length of "
     "its own device is not judged",
     "fuse F2 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }",
     "fuse F2 { 5 A, 80 V dc, breaks 1 kA at 80 V dc, curve iso8820-3 }"},
};

// A short tap from a thicker conductor to the device of its own branch: what the policy leaves unprotected at
// a source it leaves unprotected here.
bool is_short_tap(const RuleInput& input, WireId id) {
    const Wire& wire = input.harness.wire(id);
    if (wire.length.hi > input.facts.policy("unprotected-length"_attr).hi * 1.0001) return false;
    for (const TerminalId end : {wire.from, wire.to}) {
        const Kind kind = input.harness.part(input.harness.terminal(end).part).kind;
        if (kind == Kind::fuse || kind == Kind::breaker) return true;
    }
    return false;
}

std::string cut_text(const RuleInput& input, const Bound& bound, std::string& source) {
    std::string text;
    for (const EdgeId device : bound.cut) {
        const Edge& edge = input.circuit.edge(device);
        text += (text.empty() ? "" : " + ") + std::string(input.harness.part(edge.part).name);
        if (edge.role != EdgeRole::fuse && edge.role != EdgeRole::breaker) continue;
        const OperatingCurrent operating = operating_current(input.facts, edge.part);
        text += " " + operating.working;
        if (source.empty()) source = operating.source;
    }
    return text;
}

void judge(const RuleInput& input, WireId id, Report& report) {
    const WireProof& proof = input.proof.wires[id.index()];
    const Bound& bound = proof.guarding();
    if (proof.side == Side::neither || proof.unguarded() || bound.cut.empty() || is_short_tap(input, id))
        return;
    const Ampacity limit = standing_ampacity(input.facts, id, input.wires[id.index()]);
    const double ampacity_A = limit.current_A;
    if (bound.current_A <= 1.45 * ampacity_A * 1.0001) return;
    Finding finding = finding_about(input, "oversized-fuse", Severity::error, id);
    const bool several = bound.cut.size() > 1;
    finding.message =
        named(input.harness, id) + (several ? " is guarded by devices that together are too large"
                                            : " is guarded by too large a device");
    finding.beside =
        "may carry " + amps(ampacity_A) + " here; " + amps(bound.current_A) + " can flow for long";
    std::string source;
    const std::string devices = cut_text(input, bound, source);
    finding.working = {devices + " = " + amps(bound.current_A) + " > 1.45 x " + amps(ampacity_A),
                       amps(ampacity_A) + " = " + limit.working};
    finding.figures = {{"operating", bound.current_A, Dimension::current},
                       {"ampacity", ampacity_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 433.1; " + source;
    for (const EdgeId device : bound.cut) {
        const PartId part = input.circuit.edge(device).part;
        finding.related.push_back({input.harness.part(part).where, named(input.harness, part) + " is here"});
    }
    // The largest standard rating of the same kind that would pass, where one device guards it.
    if (!several) {
        const PartId part = input.circuit.edge(bound.cut.front()).part;
        const auto rated = input.facts.quantity(part, "(rated-current)"_attr);
        const double factor = rated && rated->hi > 0 ? bound.current_A / rated->hi : 0;
        double best = 0;
        for (const double rating : standard_ratings_A())
            if (factor > 0 && rating * factor <= 1.45 * ampacity_A) best = std::max(best, rating);
        if (best > 0)
            finding.help = "a rated current of " + amps(best) + " or less would guard it, or a thicker wire";
    } else {
        finding.help = "a thicker wire, or a device of its own where the feeds meet";
    }
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i)
        if (input.harness.wires[i].area.is_known()) judge(input, WireId(i), report);
}

}  // namespace

extern const RuleFamily oversized;
const RuleFamily oversized{infos, run};

}  // namespace loomward::rules
