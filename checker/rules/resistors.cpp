// Resistors: the pulse of one charging or discharging, and what they take for long.
#include <algorithm>
#include <cmath>
#include <map>

#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::resistors {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"precharge-resistor",
     "a resistor that takes more energy from one charging or discharging of the capacitors than the pulse it "
     "survives",
     "E = C U^2 / 2 from empty, whatever the resistance; as computed where a load draws too",
     "circuit theory",
     "one pulse from cold, if it begins above the rated power; where no pulse is stated, an energy above "
     "five seconds of its rated power is "
     "warned of (common practice, no source)",
     "resistor R7 { 68 ohm, 10 W, pulse 2 J }", "resistor R7 { 68 ohm, 10 W, pulse 20 J }"},
    {"overloaded-resistor", "a resistor that takes more power over some mode than it is rated for",
     "I^2 R <= P; I is the steady current that warms as the course of a mode does: sqrt(peak of x), "
     "x' = (i^2 - x) / tau",
     "rating of the part; tau = pulse / P where a pulse is stated, else 22 s: five times its power for 5 s, "
     "IEC 60115-1 (memory)",
     "no derating by temperature",
     "splice X1\nresistor R9 { 48 ohm, 10 W }\nroute X1 (W30 1 mm2, 0.3 m, red) R9 (W31 1 mm2, 1 m, black) "
     "Q1.P-",
     "splice X1"},
};

std::string joules(double value) {
    return to_text(value, Dimension::energy);
}

void judge_pulses(const RuleInput& input, Report& report) {
    std::map<PartId, const ResistorPulse*> worst;
    for (const ResistorPulse& pulse : input.transients.pulses) {
        if (contradicts(input, pulse.mode)) continue;
        const auto power = input.facts.quantity(input.circuit.edge(pulse.edge).part, "(power)"_attr);
        // No more than it may take for good is no pulse.
        if (power && !above(pulse.peak_W, power->lo)) continue;
        const ResistorPulse*& known = worst[input.circuit.edge(pulse.edge).part];
        if (!known || pulse.energy_J > known->energy_J) known = &pulse;
    }
    for (const auto& [part, pulse] : worst) {
        const auto stated = input.facts.quantity(part, "pulse"_attr);
        const auto power = input.facts.quantity(part, "(power)"_attr);
        const bool matters = !stated && power && pulse->energy_J > 5 * power->lo;
        if (!matters && (!stated || !above(pulse->energy_J, stated->lo))) continue;
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

void report_power(const RuleInput& input, const Excess& worst, EdgeId id, double ohm, double rated_W,
                  Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double amperes = worst.load.current_A, watts = amperes * amperes * ohm;
    Finding finding = finding_about(input, "overloaded-resistor", severity_of(worst), edge.part);
    finding.message = named(input.harness, edge.part) + " gets hotter than it may";
    finding.beside = to_text(watts, Dimension::power) +
                     (worst.load.stays() ? "" : " (" + flow_text(worst.load) + ")") + "; rated " +
                     to_text(rated_W, Dimension::power);
    finding.working = {to_text(watts, Dimension::power) + " = (" + amps(amperes) + ")^2 x " + ohms(ohm)};
    for (std::string& line : excess_working(input, worst, edge.part, "sqrt(rated power / resistance)"))
        finding.working.push_back(std::move(line));
    finding.figures = {{"power", watts, Dimension::power}, {"rated", rated_W, Dimension::power}};
    finding.source = "rating of the part";
    finding.help = "one rated " + to_text(watts, Dimension::power) + " or more, or less time in this mode";
    witnessed(input, finding, *worst.load.at, id);
    report.add(std::move(finding));
}

void judge_power(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!edge.part || input.harness.part(edge.part).kind != Kind::resistor) continue;
        const auto power = input.facts.quantity(edge.part, "(power)"_attr);
        const auto stated = input.facts.quantity(edge.part, "(resistance)"_attr);
        if (!power || !stated) continue;
        // Each corner has its own resistance, and so its own current that makes the rated power.
        std::optional<Excess> worst;
        double worst_ohm = 0;
        for (const Corner corner : {Corner::run_hot, Corner::run_full}) {
            const double ohm = std::max(1e-7, takes_largest_resistance(corner) ? stated->hi : stated->lo);
            std::vector<Course> here;
            for (const Course& course : courses)
                if (course.corner == corner) here.push_back(course);
            const Rated rated{std::sqrt(power->lo / ohm),
                              resistor_warm_up(input.facts, edge.part, power->lo)};
            Excess now = worst_load(
                input.circuit, here, [&](ModeId) { return std::optional(rated); },
                [&](const OperatingPoint& point) { return std::abs(point.edge_A[i]); });
            if (now.over() && (!worst || now.ratio() > worst->ratio()))
                worst = std::move(now), worst_ohm = ohm;
        }
        if (worst) report_power(input, *worst, EdgeId(i), worst_ohm, power->lo, report);
    }
}

void run(const RuleInput& input, Report& report) {
    judge_pulses(input, report);
    judge_power(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::resistors
