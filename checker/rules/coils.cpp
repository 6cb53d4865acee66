// Coils against the voltage they get in the modes in which they have to hold, and what becomes of their
// energy.
#include <algorithm>
#include <cmath>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"coil-voltage", "a coil that has to hold in some mode at a voltage outside of what it works at",
     "coil-works.smallest <= U_coil <= coil-works.largest; 85..110 % of the rated voltage where it does not "
     "say",
     "IEC 60947-4-1 (memory)",
     "steady voltages at the pack's lowest and highest; the pull-in of a warm coil is not modelled",
     "coil 48 V 200 mA, coil-works 45..60 V", "coil 48 V 200 mA, coil-works 30..60 V"},
    {"coil-suppression", "a coil that nothing suppresses, or of which nobody says what does",
     "suppression is one of diode, resistor, varistor, zener or built-in", "common practice, no source",
     "the contact or driver that switches the coil takes the energy otherwise", "suppression none",
     "suppression diode"},
};

Quantity works_at(const RuleInput& input, PartId part, const Quantity& rated) {
    if (const auto stated = input.facts.quantity(part, "coil-works"_attr)) return *stated;
    input.facts.assume("coil-works of a coil", "85..110 % of its rated voltage", "IEC 60947-4-1 (memory)",
                       input.harness.part(part).name);
    return {0.85 * rated.lo, 1.1 * rated.lo, Dimension::voltage, Knowledge::assumed};
}

void judge_voltage(const RuleInput& input, const Edge& edge, const Quantity& rated, Report& report) {
    const Quantity works = works_at(input, edge.part, rated);
    const OperatingPoint *lowest = nullptr, *highest = nullptr;
    const auto across_V = [&](const OperatingPoint& point) {
        return std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
    };
    for (const OperatingPoint& point : input.points) {
        if (!point.usable()) continue;
        const Posture posture = input.harness.modes[point.mode.index()].states[edge.part.index()].posture;
        if (posture != Posture::closed && posture != Posture::energised) continue;
        if (!lowest || across_V(point) < across_V(*lowest)) lowest = &point;
        if (!highest || across_V(point) > across_V(*highest)) highest = &point;
    }
    if (!lowest) return;
    const bool low = across_V(*lowest) < works.lo * 0.9999;
    if (!low && across_V(*highest) <= works.hi * 1.0001) return;
    const OperatingPoint& point = low ? *lowest : *highest;
    Finding finding = finding_about(input, "coil-voltage", Severity::error, edge.part);
    finding.message = "the coil of " + named(input.harness, edge.part) +
                      (low ? " may let go" : " gets more than it stands");
    finding.beside = volts(across_V(point)) + "; works at " + to_text(works);
    finding.working = {volts(across_V(point)) + (low ? " < " + volts(works.lo) : " > " + volts(works.hi))};
    finding.figures = {{"voltage", across_V(point), Dimension::voltage}};
    finding.source = "rating of the part; IEC 60947-4-1 (memory): 85..110 % where it does not say";
    finding.mode = point.mode;
    finding.corner = point.corner;
    finding.help = low ? "a coil for this voltage, or a converter that feeds it"
                       : "a coil for a higher voltage, or a dropping resistor";
    report.add(std::move(finding));
}

void judge_suppression(const RuleInput& input, const Edge& edge, Report& report) {
    const Value value = input.harness.value(input.harness.part(edge.part).attributes, "suppression"_attr);
    const bool said = value.present() && value.known != Knowledge::unknown;
    if (said && value.text != "none") return;
    Finding finding = finding_about(input, "coil-suppression", Severity::warning, edge.part);
    finding.message = said ? "nothing suppresses the coil of " + named(input.harness, edge.part)
                           : "nobody says what suppresses the coil of " + named(input.harness, edge.part);
    finding.beside = "what switches it off takes its energy";
    finding.source = "common practice, no source";
    finding.help =
        "a diode across it (slow to release), a varistor or a zener (quick), and 'suppression' to say so";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (const Edge& edge : input.circuit.edges) {
        if (edge.role != EdgeRole::coil) continue;
        judge_suppression(input, edge, report);
        if (const auto rated = input.facts.quantity(edge.part, "coil"_attr, 0))
            judge_voltage(input, edge, *rated, report);
    }
}

}  // namespace

extern const RuleFamily coils;
const RuleFamily coils{infos, run};

}  // namespace loomward::rules
