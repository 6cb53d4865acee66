// Coils against the voltage they get in the modes in which they have to hold, and what becomes of their
// energy.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/circuit/catching_diodes.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/currents/own_modes.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/coil_levels.hpp"
#include "checker/parts/driven.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::coils {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"coil-voltage", "a coil that has to hold in some mode at a voltage outside of what it works at",
     "coil-works.smallest <= U_coil <= coil-works.largest; 85..110 % of the rated voltage where it does not "
     "say",
     "IEC 60947-4-1 (memory)",
     "where it does not say, possible from half of the rated voltage to 1.6 of it; "
     "steady voltages at the pack's lowest and highest, each controller also at its setting where no mode "
     "has "
     "it draw three quarters of that; the pull-in of a warm coil is not modelled; a "
     "latching contactor only where its coil has 10 % of the rated voltage or more",
     "coil 48 V 200 mA, coil-works 45..60 V", "coil 48 V 200 mA, coil-works 30..60 V"},
    {"coil-suppression", "a coil that nothing suppresses, or of which nobody says what does",
     "suppression is one of diode, resistor, varistor, zener or built-in; or a diode lies across the coil, K "
     "at its plus, be it with a resistor in line",
     "common practice, no source",
     "the contact or driver that switches the coil takes the energy otherwise; a diode behind a contact that "
     "opens with it does not count",
     "suppression none", "suppression diode"},
    {"coil-polarity",
     "a coil with a diode built in that is wired with A2 towards plus: the diode conducts at once and shorts "
     "what "
     "switches the coil",
     "some source's plus leads to A1 and A2 to its minus", "common practice, no source: a diode's K is at A1",
     "every contact and driver counts as closed, selectors and change-overs one position at a time; a "
     "warning "
     "where "
     "the suppression is built in, a zener, or not stated; a coil that can be fed both ways is one of those "
     "meant "
     "for it",
     "route X1 (W11 1 mm2, 0.4 m, orange) K1.A2\nroute K1.A1 (W12 1 mm2, 1 m, black) Q1.P-",
     "route X1 (W11 1 mm2, 0.4 m, orange) K1.A1\nroute K1.A2 (W12 1 mm2, 1 m, black) Q1.P-"},
};

// What a coil of which nobody says at what it works may still do with, of its rated voltage: coils for
// vehicles work from less and stand more than those for switchgear. No source.
constexpr double least_share = 0.5, most_share = 1.6;

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
    const bool wired = is_wired(input.circuit, edge), latching = is_latching(input.harness, edge.part);
    for (const OperatingPoint& point : input.points) {
        const Mode& mode = input.harness.modes[point.mode.index()];
        // What the text does not wire is pulled in by the program's own modes all the same.
        if (!point.usable() || (mode.own && !wired)) continue;
        const Posture posture = mode.states[edge.part.index()].posture;
        if (posture != Posture::closed && posture != Posture::energised) continue;
        if (latching && across_V(point) < coil_at_rest * rated.lo) continue;
        if (!lowest || across_V(point) < across_V(*lowest)) lowest = &point;
        if (!highest || across_V(point) > across_V(*highest)) highest = &point;
    }
    const AtSetting* set = nullptr;
    for (const AtSetting& each : input.at_settings)
        if (lowest && is_pulled(input.harness.modes[each.point.mode.index()], edge.part) && !latching &&
            across_V(each.point) < across_V(*lowest)) {
            lowest = &each.point;
            set = &each;
        }
    if (!lowest) return;
    const bool too_low = across_V(*lowest) < works.lo * 0.9999,
               too_high = above(across_V(*highest), works.hi);
    if (!too_low && !too_high) return;
    const bool stated = works.known != Knowledge::assumed;
    // A coil that is fed both too little and too much, and says nothing, is told of what it cannot stand.
    const bool low = too_low && (stated || !above(across_V(*highest), most_share * rated.lo));
    const OperatingPoint& point = low ? *lowest : *highest;
    Finding finding = finding_about(input, "coil-voltage", Severity::error, edge.part);
    finding.possible = !stated && across_V(point) >= least_share * rated.lo &&
                       !above(across_V(point), most_share * rated.lo);
    if (finding.possible)
        finding.hangs_on.push_back(
            {std::string(input.harness.part(edge.part).name), "coil-works", to_text(works)});
    finding.message = "the coil of " + named(input.harness, edge.part) +
                      (!low       ? " gets more than it stands"
                       : latching ? " may not put it over"
                                  : " may let go");
    finding.beside = volts(across_V(point)) + "; works at " + to_text(works);
    finding.working = {volts(across_V(point)) + (low ? " < " + volts(works.lo) : " > " + volts(works.hi))};
    finding.figures = {{"voltage", across_V(point), Dimension::voltage}};
    if (low && set) finding.working.push_back(setting_text(input, *set));
    if (!stated)
        finding.working.push_back("nobody says at what it works: 85..110 % of its " + to_text(rated) +
                                  " is taken");
    finding.source = stated ? "rating of the part" : "IEC 60947-4-1 (memory)";
    finding.mode = point.mode;
    finding.corner = point.corner;
    finding.help = std::string(stated ? "" : "say 'coil-works' as its data sheet does; else ") +
                   (low ? "a coil for this voltage, or a converter that feeds it"
                        : "a coil for a higher voltage, or a dropping resistor");
    report.add(std::move(finding));
}

// Of coils that do not say what suppresses them, those that nothing drives both ways and a diode catches.
std::set<EdgeId> caught(const RuleInput& input) {
    std::set<EdgeId> found;
    CatchingDiodes catchers(input.circuit);
    if (!catchers.any()) return found;
    std::vector<EdgeId> coils;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::coil) coils.emplace_back(i);
    const std::vector<Drive::Ways> ways = driven(input.circuit, coils, DriveThrough::anything);
    for (std::size_t i = 0; i < coils.size(); ++i)
        if (!(ways[i].along && ways[i].against) &&
            !catchers.of(input.circuit.edge(coils[i]), ways[i]).empty())
            found.insert(coils[i]);
    return found;
}

void judge_suppression(const RuleInput& input, const Edge& edge, bool caught, Report& report) {
    const Value value = input.harness.value(input.harness.part(edge.part).attributes, "suppression"_attr);
    const bool said = value.present() && value.known != Knowledge::unknown;
    if (caught || (said && value.text != "none")) return;
    Finding finding = finding_about(input, "coil-suppression", Severity::warning, edge.part);
    finding.message = said ? "nothing suppresses the coil of " + named(input.harness, edge.part)
                           : "nobody says what suppresses the coil of " + named(input.harness, edge.part);
    finding.beside = "what switches it off takes its energy";
    finding.possible = !said;
    if (!value.present()) finding.hangs_on.push_back({finding.subject, "suppression", {}});
    finding.source = "common practice, no source";
    finding.help =
        "a diode across it (slow to release), a varistor or a zener (quick), and 'suppression' to say so";
    report.add(std::move(finding));
}

// What lies across the coil, as far as it matters which way round it is.
struct Across {
    Severity severity;
    std::string what;
};
std::optional<Across> polarised(const RuleInput& input, PartId part) {
    const Value value = input.harness.value(input.harness.part(part).attributes, "suppression"_attr);
    if (value.present() && value.known == Knowledge::unknown)
        return Across{Severity::error, "what suppresses it is not known; a diode"};
    if (!value.present()) return Across{Severity::warning, "what suppresses it is not stated; a diode"};
    if (value.text == "diode") return Across{Severity::error, "its diode"};
    if (value.text == "zener") return Across{Severity::warning, "a zener without a diode"};
    if (value.text == "built-in")
        return Across{Severity::warning, "what is built in is often a diode, which"};
    return std::nullopt;
}

void tell_polarity(const RuleInput& input, const Edge& edge, Report& report) {
    const std::optional<Across> across = polarised(input, edge.part);
    if (!across) return;
    const std::string a1(input.harness.terminal(edge.from_terminal).path),
        a2(input.harness.terminal(edge.to_terminal).path);
    Finding finding = finding_about(input, "coil-polarity", across->severity, edge.part);
    finding.message = "the coil of " + named(input.harness, edge.part) + " is connected the wrong way round";
    finding.beside =
        a2 + " leads to plus, " + a1 + " to minus; " + across->what + " would short what switches it";
    finding.working = {"a source can push a current into " + a2 + " and out of " + a1 +
                       ", in no position of the switches the other way; the diode's K lies at A1"};
    finding.source = "common practice, no source";
    finding.help = "exchange the wires at " + a1 + " and " + a2 +
                   (across->severity == Severity::error ? "" : ", or say what 'suppression' it has");
    report.add(std::move(finding));
}

void judge_polarity(const RuleInput& input, Report& report) {
    std::vector<EdgeId> coils;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (const Edge& edge = input.circuit.edges[i];
            edge.role == EdgeRole::coil && polarised(input, edge.part))
            coils.emplace_back(i);
    const std::vector<Drive::Ways> ways = driven(input.circuit, coils, DriveThrough::anything);
    for (std::size_t i = 0; i < coils.size(); ++i)
        if (ways[i].against && !ways[i].along) tell_polarity(input, input.circuit.edge(coils[i]), report);
}

void run(const RuleInput& input, Report& report) {
    judge_polarity(input, report);
    const std::set<EdgeId> with_diode = caught(input);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role != EdgeRole::coil) continue;
        judge_suppression(input, edge, with_diode.contains(EdgeId(i)), report);
        if (const auto rated = input.facts.quantity(edge.part, "coil"_attr, 0))
            judge_voltage(input, edge, *rated, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::coils
