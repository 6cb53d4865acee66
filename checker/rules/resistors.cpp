// Resistors: the pulse of one charging or discharging, and what they take for long.
#include <map>

#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"precharge-resistor",
     "a resistor that takes more energy from one charging or discharging of the capacitors than the pulse it "
     "survives",
     "E = C U^2 / 2 from empty, whatever the resistance; as computed where a load draws too",
     "circuit theory",
     "one pulse from cold; where no pulse is stated, an energy above five seconds of its rated power is "
     "warned of (common practice, no source)",
     "resistor R7 { 68 ohm, 10 W, pulse 2 J }", "resistor R7 { 68 ohm, 10 W, pulse 20 J }"},
    {"overloaded-resistor", "a resistor whose lasting power in some mode is above what it is rated for",
     "I^2 R <= P", "rating of the part",
     "the level that stays, or the root mean square of a profile that repeats; no derating by temperature",
     "splice X1\nresistor R9 { 48 ohm, 10 W }\nroute X1 (W30 1 mm2, 0.3 m, red) R9 (W31 1 mm2, 1 m, black) "
     "Q1.P-",
     "splice X1"},
};

std::string joules(double value) {
    return to_text(value, Dimension::energy);
}
std::string ohms(double value) {
    return to_text(value, Dimension::resistance);
}
std::string seconds(double value) {
    return to_text(value, Dimension::time);
}

void judge_pulses(const RuleInput& input, Report& report) {
    std::map<PartId, const ResistorPulse*> worst;
    for (const ResistorPulse& pulse : input.transients.pulses) {
        if (contradicts(input, pulse.mode)) continue;
        const ResistorPulse*& known = worst[input.circuit.edge(pulse.edge).part];
        if (!known || pulse.energy_J > known->energy_J) known = &pulse;
    }
    for (const auto& [part, pulse] : worst) {
        const auto stated = input.facts.quantity(part, "pulse"_attr);
        const auto power = input.facts.quantity(part, "(power)"_attr);
        const bool matters = !stated && power && pulse->energy_J > 5 * power->lo;
        if (!matters && (!stated || pulse->energy_J <= stated->lo * 1.0001)) continue;
        Finding finding =
            finding_about(input, "precharge-resistor", stated ? Severity::error : Severity::warning, part);
        const std::string does = pulse->discharging ? "discharging" : "charging";
        finding.message = stated
                              ? named(input.harness, part) + " does not survive " + does + " the capacitors"
                              : "nobody says what pulse " + named(input.harness, part) + " survives";
        finding.beside =
            joules(pulse->energy_J) + " each time" +
            (stated ? "; survives " + joules(stated->lo)
                    : "; that is " + seconds(pulse->energy_J / power->lo) + " of its rated power");
        finding.working = {joules(pulse->energy_J) + " within " + seconds(pulse->lasts_s) + ", from " +
                           to_text(pulse->peak_W, Dimension::power) + " at first (" + does + " in mode " +
                           std::string(input.harness.modes[pulse->mode.index()].name) + ")"};
        finding.working.push_back("the energy is that of the capacitors, C U^2 / 2, whatever the resistance");
        finding.figures = {{"energy", pulse->energy_J, Dimension::energy},
                           {"peak", pulse->peak_W, Dimension::power}};
        finding.source = "circuit theory: E = C U^2 / 2";
        finding.mode = pulse->mode;
        finding.corner = Corner::run_full;
        finding.help =
            stated ? "one whose pulse rating is " + joules(pulse->energy_J) +
                         " or more: wire-wound, or of more power"
                   : "find its pulse energy in the datasheet and state it: pulse " + joules(pulse->energy_J);
        report.add(std::move(finding));
    }
}

void judge_power(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::resistor) continue;
        const auto power = input.facts.quantity(edge.part, "(power)"_attr);
        const auto worst = worst_course(courses, EdgeId(i));
        if (!power || !worst) continue;
        const bool largest = takes_largest_resistance(worst->course.corner);
        const auto stated = input.facts.quantity(edge.part, "(resistance)"_attr);
        if (!stated) continue;
        const double ohm = largest ? stated->hi : stated->lo, amperes = worst->carried.sustained_A;
        const double watts = amperes * amperes * ohm;
        if (watts <= power->lo * 1.0001) continue;
        Finding finding = finding_about(input, "overloaded-resistor", Severity::error, edge.part);
        finding.message = named(input.harness, edge.part) + " gets hotter than it may";
        finding.beside = to_text(watts, Dimension::power) + "; rated " + to_text(power->lo, Dimension::power);
        finding.working = {to_text(watts, Dimension::power) + " = (" + amps(amperes) + ")^2 x " + ohms(ohm)};
        finding.figures = {{"power", watts, Dimension::power}, {"rated", power->lo, Dimension::power}};
        finding.source = "rating of the part";
        finding.help =
            "one rated " + to_text(watts, Dimension::power) + " or more, or less time in this mode";
        witnessed(input, finding, *worst->carried.at_peak, EdgeId(i));
        report.add(std::move(finding));
    }
}

void run(const RuleInput& input, Report& report) {
    judge_pulses(input, report);
    judge_power(input, report);
}

}  // namespace

extern const RuleFamily resistors;
const RuleFamily resistors{infos, run};

}  // namespace loomward::rules
