// What breaks and what insulates against the highest voltage that can stand across it: every pack full.
#include <algorithm>
#include <cmath>

#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"fuse-voltage",
     "a fuse or breaker whose rated voltage is below the highest voltage of its circuit, or is one for "
     "alternating current",
     "U_rated (dc) >= U_full", "IEC 60269-7 3.4.1; 33 CFR 183.455(d) (memory)",
     "every contact counts as closed; transients are not counted", "fuse F1 { 60 A, 32 V dc",
     "fuse F1 { 60 A, 80 V dc"},
    {"contact-voltage",
     "a switch, contactor, relay, selector, connector, block, diode or capacitor whose voltage rating is "
     "below what can stand across it, or is one for alternating current",
     "U_rated >= U_full; breaks at U >= U_full where it breaks current",
     "AC 43.13-1B 11-50; rating of the part", "every contact counts as closed; transients are not counted",
     "switch S1 { 24 V dc", "switch S1 { 80 V dc"},
};

struct Stated {
    double voltage_V = 0;
    bool alternating = false;
    Value value;
};

std::optional<Stated> stated(const RuleInput& input, PartId part, Attr name, std::size_t voltage_place,
                             std::size_t kind_place) {
    const Value value = input.harness.value(input.harness.part(part).attributes, name, voltage_place);
    if (value.type != ValueType::quantity || value.known == Knowledge::unknown) return std::nullopt;
    return Stated{value.lo,
                  input.harness.value(input.harness.part(part).attributes, name, kind_place).text == "ac",
                  value};
}

void judge(const RuleInput& input, PartId part, const Stated& rating, double stands_V, std::string_view rule,
           std::string_view what, const OperatingPoint* point, Report& report) {
    if (!rating.alternating && rating.voltage_V >= stands_V * 0.9999) return;
    if (stands_V < 1) return;
    Finding finding = finding_about(input, rule, Severity::error, part);
    if (rating.value.where.valid() && rating.value.where.file == finding.where.file &&
        input.harness.sources->position(rating.value.where).line ==
            input.harness.sources->position(finding.where).line)
        finding.where = rating.value.where;
    if (rating.alternating) {
        finding.message = named(input.harness, part) + " is rated for alternating current only";
        finding.beside = volts(rating.voltage_V) + " ac; " + volts(stands_V) + " dc stand here";
        finding.working = {
            "an alternating current passes zero and lets the arc die; a direct current does not"};
        finding.source =
            "AC 43.13-1B 11-50: ratings for alternating current do not hold in direct-current circuits";
    } else {
        finding.message =
            named(input.harness, part) + " is rated for a lower voltage than can stand across it";
        finding.beside = std::string(what) + " " + volts(rating.voltage_V) + "; " + volts(stands_V) + " here";
        finding.working = {volts(rating.voltage_V) + " (" + std::string(what) + ") < " + volts(stands_V) +
                           " (every pack full)"};
        finding.source = rule == "fuse-voltage" ? "IEC 60269-7 3.4.1" : "rating of the part";
    }
    finding.figures = {{"rated", rating.voltage_V, Dimension::voltage},
                       {"highest", stands_V, Dimension::voltage}};
    finding.corner = Corner::run_full;
    if (point) finding.mode = point->mode;
    finding.help = "one rated " + volts(std::ceil(stands_V)) + " dc or more would do";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const Potentials potentials(input);
    std::vector<bool> done(input.harness.parts.size(), false);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!edge.part || done[edge.part.index()]) continue;
        const Kind kind = input.harness.part(edge.part).kind;
        const double stands_V = potentials.across_when_open_V(EdgeId(i));
        const auto check = [&](const std::optional<Stated>& rating, std::string_view rule,
                               std::string_view what, double volts_V) {
            if (!rating || done[edge.part.index()] ||
                (!rating->alternating && rating->voltage_V >= volts_V * 0.9999))
                return;
            done[edge.part.index()] = volts_V >= 1;
            judge(input, edge.part, *rating, volts_V, rule, what, nullptr, report);
        };
        switch (edge.role) {
            case EdgeRole::fuse:
            case EdgeRole::breaker:
                check(stated(input, edge.part, "(operational-voltage)"_attr, 0, 1), "fuse-voltage", "rated",
                      stands_V);
                check(stated(input, edge.part, "breaks"_attr, 1, 2), "fuse-voltage", "breaks at", stands_V);
                break;
            case EdgeRole::switching:
                check(stated(input, edge.part, "(operational-voltage)"_attr, 0, 1), "contact-voltage",
                      "rated", stands_V);
                check(stated(input, edge.part, "breaks"_attr, 1, 2), "contact-voltage", "breaks at",
                      stands_V);
                break;
            case EdgeRole::contact:
                check(stated(input, edge.part, "(rated-voltage)"_attr, 0, 9), "contact-voltage", "rated",
                      potentials.highest_V(edge.from));
                break;
            case EdgeRole::diode:
            case EdgeRole::capacitor:
                if (kind != Kind::diode && kind != Kind::capacitor) break;
                check(stated(input, edge.part, "(rated-voltage)"_attr, 0, 9), "contact-voltage", "rated",
                      kind == Kind::diode
                          ? stands_V
                          : std::abs(potentials.node_V(edge.from) - potentials.node_V(edge.to)));
                break;
            default:
                break;
        }
    }
}

}  // namespace

extern const RuleFamily voltage_ratings;
const RuleFamily voltage_ratings{infos, run};

}  // namespace loomward::rules
