// Wires that no device guards, and devices with a way round them, by the proof of checker/proof.
#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"
#include "parser/typed_lengths.hpp"

namespace loomward::rules::protection {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"unprotected-wire",
     "a wire that a pack reaches without passing a fuse or breaker, beyond the length that the policy allows "
     "near the source",
     "length from the source's pole to the far end of the wire <= unprotected-length",
     "33 CFR 183.455(b): 7 in (178 mm)",
     "every switch counts as closed; sources that limit themselves (chargers, converters) bound what they "
     "give; electronics that open in no short circuit guard nothing; a fuse in the minus counts where no "
     "frame is bonded before it; a capacitor that holds 20 J "
     "or more counts where that would burn the wire",
     "(W1 16 mm2, 0.9 m, red)", "(W1 16 mm2, 0.15 m, red)"},
    {"bypassed-fuse", "a fuse or breaker with a way round it through wires, switches or relays",
     "no way from one end to the other that passes no protective device", "33 CFR 183.455(a)",
     "every switch counts as closed", "splice X1\nroute F1.in (W30 16 mm2, 0.1 m, red) F1.out", "splice X1"},
    {"electronic-only",
     "a wire that nothing but electronics guards: a BMS, a protector, a converter's or charger's limit",
     "at least one fuse or breaker on the way that is small enough for the wire",
     "common practice, no source",
     "reported as a note; behind a fuse that is too large for the wire only a protector counts, by the rule "
     "of oversized-fuse",
     "D1.out+ (W17 1.5 mm2, 0.3 m, yellow) F3", "D1.out+ (direct) F3"},
};

// How far it lies in its bundles at the least, which it cannot be shorter than, m.
double lies_in_bundles_m(const Harness& harness, const Wire& wire) {
    double most_m = 0;
    for (const BundleId id : wire.bundles) {
        if (!id) continue;
        const Value& length = harness.value(harness.bundles[id.index()].attributes, "length"_attr);
        if (length.present() && length.known != Knowledge::unknown) most_m = std::max(most_m, length.lo);
    }
    return most_m;
}

void report_unprotected(const RuleInput& input, WireId id, double far_m, double allowed_m, Report& report) {
    const Edge& edge = input.circuit.edge(input.circuit.edge_of_wire[id.index()]);
    Finding finding = finding_about(input, "unprotected-wire", Severity::error, id);
    finding.message = named(input.harness, id) + " has no fuse or breaker between it and a source";
    const bool forward = std::isfinite(far_m);
    const Wire& wire = input.harness.wire(id);
    const double shown_m = forward ? far_m : wire.length.hi;
    // The whole way is this wire alone: then what was typed is what was measured.
    const bool alone = !forward || std::abs(far_m - wire.length.hi) <= 1e-9 * far_m;
    const std::string shown = with_typed(to_text(shown_m, Dimension::length),
                                         alone ? typed_in_feet(input.harness, wire) : std::string_view());
    const std::string allowed = with_typed(
        to_text(allowed_m, Dimension::length),
        typed_in_feet(input.harness, input.harness.value(input.harness.policy, "unprotected-length"_attr)));
    finding.beside = forward ? "ends " + shown + " from the source; " + allowed + " allowed"
                             : shown + " of return for a load that no device guards";
    finding.working = {shown + " > " + allowed + " (policy unprotected-length)"};
    finding.figures = {{"length", shown_m, Dimension::length}, {"allowed", allowed_m, Dimension::length}};
    finding.source = "33 CFR 183.455(a), (b)";
    const auto& distance = input.zones.source_distance_m;
    if (forward)
        finding.witness =
            way_from_source(input.circuit, input.zones,
                            distance[edge.from.index()] >= distance[edge.to.index()] ? edge.from : edge.to);
    finding.help =
        "a fuse or breaker within " + allowed + " of the source, or an accepted finding with its reason";
    if (const double left_m = wire.length.hi - (shown_m - allowed_m);
        left_m > lies_in_bundles_m(input.harness, wire))
        finding.cures = {at_most(input.harness, id, "(length)"_attr, left_m, Dimension::length)};
    report.add(std::move(finding));
}

// The electronics of a cut. Where it has none, they guard the wire in another position of the contacts.
std::string electronics_text(const RuleInput& input, const std::vector<EdgeId>& cut) {
    std::string electronics, fuses;
    for (const EdgeId device : cut) {
        const Edge& edge = input.circuit.edge(device);
        std::string& list = is_protective(edge.role) ? fuses : electronics;
        list += (list.empty() ? "" : ", ") + std::string(opens_on_current(edge.role) ? "" : "limit of ") +
                named(input.harness, edge.part);
    }
    if (!electronics.empty()) return electronics;
    return "in one position of the contacts before it; " + fuses + " guards it in another alone";
}

// How far the feed of a load lies from a source with no device between, m.
double feed_distance_m(const RuleInput& input, EdgeId load) {
    if (!load) return 0;
    const Edge& edge = input.circuit.edge(load);
    const auto& distance = input.zones.source_distance_m;
    return std::min(distance[edge.from.index()], distance[edge.to.index()]);
}

void run(const RuleInput& input, Report& report) {
    const double allowed_m = input.facts.policy("unprotected-length"_attr).hi;
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        if (!input.proof.wires[i].unguarded()) continue;
        const Edge& edge = input.circuit.edge(input.circuit.edge_of_wire[i]);
        const double from_m = input.zones.source_distance_m[edge.from.index()];
        const double to_m = input.zones.source_distance_m[edge.to.index()];
        const double length_m = input.harness.wires[i].length.hi;
        // Reached from a plus: the far end counts. A return: its own length. Past a device whose rating is
        // not known nothing is proved, and missing-data says so.
        const bool forward = input.proof.wires[i].side == Side::forward;
        if (!std::isfinite(forward ? std::max(from_m, to_m)
                                   : feed_distance_m(input, input.proof.wires[i].worst_load)))
            continue;
        const double far_m = forward ? std::max({from_m, to_m, std::min(from_m, to_m) + length_m})
                                     : std::numeric_limits<double>::infinity();
        if ((forward ? far_m : length_m) <= allowed_m * 1.0001) continue;
        report_unprotected(input, WireId(i), far_m, allowed_m, report);
    }
    for (const EdgeId id : input.proof.bypassed) {
        const Edge& edge = input.circuit.edge(id);
        Finding finding = finding_about(input, "bypassed-fuse", Severity::error, edge.part);
        finding.message = "current can pass round " + named(input.harness, edge.part);
        finding.beside = "it guards nothing";
        finding.witness = way_round(input.circuit, input.facts, edge.from, edge.to, id);
        finding.working = {"a way from " + std::string(input.harness.terminal(edge.from_terminal).path) +
                           " to " + std::string(input.harness.terminal(edge.to_terminal).path) +
                           " passes no protective device"};
        finding.source = "33 CFR 183.455(a)";
        finding.help = "take out the way round it";
        for (const Step& step : finding.witness)
            if (step.where.valid() && finding.related.size() < 4 && input.harness.find_wire(step.name))
                finding.related.push_back({step.where, step.name + " is part of the way round"});
        report.add(std::move(finding));
    }
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        // Sensor leads behind a supply pin of milliamperes are what such a pin is for.
        if (!input.proof.wires[i].electronic_only() || input.proof.wires[i].with_electronics.current_A <= 1)
            continue;
        Finding finding = finding_about(input, "electronic-only", Severity::note, WireId(i));
        finding.message = named(input.harness, WireId(i)) + " is guarded by electronics alone";
        finding.beside = electronics_text(input, input.proof.wires[i].guarding().cut);
        finding.source = "common practice, no source";
        finding.help = "a fuse would still open if the electronics fail";
        report.add(std::move(finding));
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::protection
