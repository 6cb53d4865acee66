// What short circuits do: devices that cannot break them, conductors that do not live until they are cleared.
//
// Every fault of checker/fault has been told at both corners; here the worst of each device and wire is read.
// Wires that no device guards at all are the matter of unprotected-wire.
#include <algorithm>
#include <cmath>
#include <map>

#include "checker/circuit/by_name.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/formulas.hpp"

namespace loomward::rules::short_circuits {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"fuse-breaking-capacity",
     "a fuse, breaker or protector through which a larger short-circuit current can flow than it can break",
     "I_prospective <= breaking capacity; pack full, conductors cold, contacts without resistance",
     "IEC 60364-4-43 434.5.1",
     "asked at its own terminals too, whatever can touch there; no device further up is counted on as "
     "back-up; "
     "motors and capacitors are not counted as sources",
     "fuse F1 { 60 A, 80 V dc, breaks 500 A at 80 V dc, curve iso8820-5 }",
     "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }"},
    {"slow-clearing", "a wire that a short circuit damages before the device that clears it has opened",
     "u' = ((I/Iz)2 - u)/tau up to the short-circuit limit of the insulation; for large currents I2t <= k2 "
     "S2",
     "IEC 60364-4-43 434.5.2",
     "by the slow edge of the band, from full load; a tap within unprotected-length of its own device is not "
     "judged",
     "bms Q1 { side low, ports common, discharge 70 A, charge 20 A, trips 5 kA after 1 s, resistance 1 mohm "
     "}\n"
     "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, point 100 A 1000 s, point 700 A 200 s }",
     "bms Q1 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance 1 mohm "
     "}\n"
     "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }"},
    {"insufficient-fault-current",
     "a short circuit whose current is too small to make any device open, and large enough to damage a wire",
     "no device opens at the smallest prospective current; u settles at (I/Iz)2 above the limit",
     "IEC 60364-4-43 434.5.2",
     "pack empty and aged, conductors at their limit, every joint counted; loads beside the fault draw "
     "nothing",
     "bms Q1 { side low, ports common, discharge 70 A, charge 20 A, trips 5 kA after 1 s, resistance 1 mohm "
     "}\n"
     "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, point 4 kA 1 s }",
     "bms Q1 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance 1 mohm "
     "}\n"
     "fuse F1 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }"},
    {"short-time-withstand",
     "a contact through which a short circuit lets more pass than its rated short-time withstand current "
     "allows",
     "I2t <= I_withstand2 t_withstand", "IEC 60947-1 (memory)",
     "only where `withstands` is stated; shorter times by equal I2t; what the contact carries indefinitely "
     "is "
     "not counted",
     "coil 48 V 200 mA, coil-works 30..60 V, suppression diode, withstands 100 A for 100 ms",
     "coil 48 V 200 mA, coil-works 30..60 V, suppression diode"},
    {"unknown-let-through",
     "a fuse whose family promises nothing at the short-circuit current of its place, where it matters: a "
     "note",
     "I_prospective > the last gate, and (last gate) I2t > k2 S2 of a wire on the way",
     "IEC 60364-4-43 434.5.2",
     "one note a device; a wire that would burn even behind a fuse of class gG of the next larger size is "
     "told as slow-clearing; small circuit-breakers are taken as of energy limiting class 3 (EN 60898-1, "
     "memory), other breakers keep their thermal release",
     "fuse F2 { 8 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }",
     "fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }"},
};

const FaultOutcome& outcome(const RuleInput& input, std::uint32_t number) {
    return input.faults.survey().outcomes[number];
}

FaultAccount account_of(const RuleInput& input, std::uint32_t number) {
    const FaultOutcome& told = outcome(input, number);
    return input.faults.account(input.faults.survey().places[told.place], told.corner, told.position);
}

// The fault, its corner and its way, which every finding here shows.
void show_fault(const RuleInput& input, Finding& finding, const FaultAccount& account) {
    finding.corner = account.corner;
    finding.working.push_back(fault_text(input.harness, account.place) + ": " +
                              amps(account.story.prospective_A));
    finding.witness = account.out;
    finding.witness.insert(finding.witness.end(), account.back.begin(), account.back.end());
}

void judge_breaking(const RuleInput& input, PartId part, Report& report) {
    const FaultSurvey::DeviceWorst& worst = input.faults.survey().devices[part.index()];
    if (worst.prospective_A <= 0 || input.harness.part(part).kind == Kind::bms) return;
    const Attribute* stated = input.harness.find(input.harness.part(part).attributes, "breaks"_attr);
    if (!stated || input.facts.is_unknown(part, "breaks"_attr)) return;  // missing-data says so
    const auto breaks = input.facts.quantity(part, "breaks"_attr);
    if (!breaks && input.harness.part(part).kind == Kind::protector) return;  // it stays closed in a short
    const double breaks_A = breaks ? breaks->lo : 0;
    if (!above(worst.prospective_A, breaks_A)) return;
    Finding finding = finding_about(input, "fuse-breaking-capacity", Severity::error, part);
    finding.message = named(input.harness, part) + " cannot break the short-circuit current at its place";
    finding.beside = "breaks " + amps(breaks_A) + "; " + amps(worst.prospective_A) + " can flow";
    finding.working = {amps(worst.prospective_A) + " > " + amps(breaks_A) + " (breaking capacity)"};
    show_fault(input, finding, input.faults.account(worst.place, worst.corner, worst.position));
    finding.figures = {{"prospective", worst.prospective_A, Dimension::current},
                       {"breaks", breaks_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 434.5.1";
    finding.help =
        "a device that breaks at least " + amps(worst.prospective_A) + " at the full voltage of the pack";
    finding.cures = {at_least(input.harness, part, "breaks"_attr, worst.prospective_A, Dimension::current)};
    report.add(std::move(finding));
}

struct Damage {
    WireId wire;
    double ratio = 0;
    std::uint32_t outcome = 0;
};

// When the wire is damaged, with what current, and what opens afterwards, if anything does.
struct Course {
    const FaultEvent* damaged = nullptr;
    const FaultEvent* clears = nullptr;
};
Course course_of(const RuleInput& input, const FaultStory& story, WireId wire) {
    Course course;
    const EdgeId edge = input.circuit.edge_of_wire[wire.index()];
    for (const FaultEvent& event : story.events) {
        if (event.kind == FaultEvent::Kind::damaged && event.edge == edge) course.damaged = &event;
        if (event.kind == FaultEvent::Kind::opens && course.damaged) course.clears = &event;
    }
    return course;
}

// Nothing opened, and it ended: what fed it is empty.
bool told_stored(const FaultStory& story) {
    return story.standing_A == 0 &&
           std::none_of(story.events.begin(), story.events.end(),
                        [](const FaultEvent& event) { return event.kind == FaultEvent::Kind::opens; });
}

// Whether the wire burns even if every device is as quick as it can be.
bool surely_damaged(const RuleInput& input, const Damage& damage) {
    const FaultOutcome& told = outcome(input, damage.outcome);
    const auto quickest = input.faults.tell(input.faults.survey().places[told.place], told.corner,
                                            told.position, FaultTeller::BandEdge::fast);
    return quickest && course_of(input, *quickest, damage.wire).damaged;
}

// One finding for a device and everything it clears too late: the worst wire, and the others beside it.
bool is_certain(const RuleInput& input, const Damage& damage) {
    const Course course = course_of(input, account_of(input, damage.outcome).story, damage.wire);
    if (!course.damaged) return false;
    if (!course.clears) return true;
    const Band& band = input.faults.setting().bands[input.circuit.edge(course.clears->edge).part.index()];
    return (band.promised(course.clears->current_A) && !band.carried_on(course.clears->current_A)) ||
           surely_damaged(input, damage);
}

// The one that is damaged most; where no gate promises that, the most damaged of a few for which one does.
const Damage& worst_of(const RuleInput& input, const std::vector<Damage>& all) {
    const Damage& worst = gravest_of(all, [](const Damage& each) { return each.ratio; });
    if (all.size() == 1 || is_certain(input, worst)) return worst;
    constexpr std::size_t enough = 32;
    std::vector<const Damage*> by_ratio;
    for (const Damage& each : all) by_ratio.push_back(&each);
    std::stable_sort(by_ratio.begin(), by_ratio.end(),
                     [](const Damage* a, const Damage* b) { return a->ratio > b->ratio; });
    by_ratio.resize(std::min(enough, by_ratio.size()));
    const auto certain = std::find_if(by_ratio.begin(), by_ratio.end(),
                                      [&](const Damage* each) { return is_certain(input, *each); });
    return certain == by_ratio.end() ? worst : **certain;
}

void report_damage(const RuleInput& input, const std::vector<Damage>& all, Report& report) {
    const Damage& worst = worst_of(input, all);
    const FaultAccount account = account_of(input, worst.outcome);
    const Course course = course_of(input, account.story, worst.wire);
    if (!course.damaged) return;
    const WireHeat& heat = input.faults.setting().wires[worst.wire.index()];
    const bool never = !course.clears && account.story.standing_A > 0;
    Finding finding = finding_about(input, never ? "insufficient-fault-current" : "slow-clearing",
                                    Severity::error, worst.wire);
    finding.message =
        named(input.harness, worst.wire) + (never ? " burns in a short circuit that no device ends"
                                                  : " burns before a short circuit is cleared");
    finding.beside =
        "damaged after " + seconds(course.damaged->time_s) + " at " + amps(course.damaged->current_A);
    std::string beyond;
    if (course.clears) {
        const PartId device = input.circuit.edge(course.clears->edge).part;
        finding.beside += "; " + std::string(input.harness.part(device).name) + " opens after " +
                          seconds(course.clears->time_s);
        finding.related.push_back(
            {input.harness.part(device).where, named(input.harness, device) + " is here"});
        const Band& band = input.faults.setting().bands[device.index()];
        finding.source = "; " + band.source;
        if (!band.promised(course.clears->current_A)) {
            finding.severity = Severity::warning;
            beyond = band.source +
                     " promises nothing at this current; as quick as a fuse of class gG of the "
                     "next larger size, or as its stated joule integral lets expect";
        } else if (band.carried_on(course.clears->current_A)) {
            finding.severity = Severity::warning;
            beyond = "what " + band.source +
                     " promises ends below this current; its last joule integral is carried on";
        }
    }
    if (!beyond.empty() && surely_damaged(input, worst)) {
        finding.severity = Severity::error;
        beyond = "even what " + finding.source.substr(2) + " lets through at the least is too much";
    }
    const bool stored = told_stored(account.story);
    if (stored)
        finding.message =
            named(input.harness, worst.wire) + " burns in a short circuit that a capacitor feeds";
    show_fault(input, finding, account);
    if (!beyond.empty()) finding.working.push_back(beyond);
    finding.working.push_back("it survives " + to_text(heat.k2S2_A2s, Dimension::joule_integral) + " = (" +
                              to_text(heat.k, Dimension::none) + " x " +
                              std::string(input.harness.wire(worst.wire).size_text) + ")2 from " +
                              to_text(heat.service_degC, Dimension::temperature) + " to " +
                              to_text(heat.limit_degC, Dimension::temperature));
    finding.figures = {{"damaged-after", course.damaged->time_s, Dimension::time},
                       {"current", course.damaged->current_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 434.5.2" + finding.source;
    for (const Damage& each : all) {
        if (each.wire == worst.wire || finding.related.size() > 6) continue;
        finding.related.push_back(
            {input.harness.wire(each.wire).where, named(input.harness, each.wire) + " burns as well"});
    }
    finding.help =
        stored ? "a fuse at the capacitor that lets less than " +
                     to_text(heat.k2S2_A2s, Dimension::joule_integral) + " through, or a thicker wire"
        : never ? "a smaller or quicker device, or a thicker conductor on the way"
                : "a device that lets less than " + to_text(heat.k2S2_A2s, Dimension::joule_integral) +
                      " through (state it with clears), or a thicker wire";
    report.add(std::move(finding));
}

void judge_wires(const RuleInput& input, Report& report) {
    struct Cause {
        bool stands;
        EdgeId device;
        WireId accepted;  // stands alone
        auto operator<=>(const Cause&) const = default;
    };
    std::map<Cause, std::vector<Damage>> by_device;
    for (const WireId id : wires_by_name(input.harness)) {
        const FaultSurvey::WireWorst& worst = input.faults.survey().wires[id.index()];
        if (worst.outcome == FaultSurvey::none) continue;
        if (worst.heat_over_limit < 1 || input.proof.wires[id.index()].unguarded() || is_short_tap(input, id))
            continue;
        const FaultOutcome& told = outcome(input, worst.outcome);
        const bool stands = told.standing_A > 0;
        const bool alone = accepted_alone(input, stands ? "insufficient-fault-current" : "slow-clearing", id);
        by_device[{stands, told.first, alone ? id : WireId()}].push_back(
            {id, worst.heat_over_limit, worst.outcome});
    }
    for (const auto& [device, damages] : by_device) report_damage(input, damages, report);
}

void judge_unpromised(const RuleInput& input, PartId part, Report& report) {
    const FaultSurvey::Unpromised& worst = input.faults.survey().unpromised[part.index()];
    if (worst.outcome == FaultSurvey::none) return;
    // Told already, whatever the figure may be.
    const FaultSurvey::WireWorst& wire = input.faults.survey().wires[worst.wire.index()];
    if (wire.outcome != FaultSurvey::none && wire.heat_over_limit >= 1) return;
    const Band& band = input.faults.setting().bands[part.index()];
    const WireHeat& heat = input.faults.setting().wires[worst.wire.index()];
    Finding finding = finding_about(input, "unknown-let-through", Severity::note, part);
    finding.message =
        "nothing is promised of what " + named(input.harness, part) + " lets through in a short circuit";
    finding.beside =
        amps(worst.current_A) + " can flow; " + band.source + " ends at " + amps(band.promised_to_A);
    show_fault(input, finding, account_of(input, worst.outcome));
    finding.working.push_back(named(input.harness, worst.wire) + " survives " +
                              to_text(heat.k2S2_A2s, Dimension::joule_integral) +
                              "; the last gate carried on would be " +
                              to_text(band.unpromised_s(worst.current_A) * worst.current_A * worst.current_A,
                                      Dimension::joule_integral));
    finding.figures = {{"current", worst.current_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 434.5.2; " + band.source;
    finding.help = "clears (the operating joule integral) or points from its data sheet, below " +
                   to_text(heat.k2S2_A2s, Dimension::joule_integral) + ", settle it";
    report.add(std::move(finding));
}

// What goes on flowing through a part's contacts when nothing more opens, A.
double standing_A(const RuleInput& input, PartId part, const FaultStory& story) {
    double most_A = 0;
    for (const FaultStress& stress : story.stress)
        if (input.circuit.edge(stress.edge).part == part) most_A = std::max(most_A, std::abs(stress.last_A));
    return most_A;
}

void judge_withstand(const RuleInput& input, PartId part, Report& report) {
    const auto current = input.facts.quantity(part, "withstands"_attr, 0);
    const auto time = input.facts.quantity(part, "withstands"_attr, 1);
    const FaultSurvey::ContactWorst& worst = input.faults.survey().contacts[part.index()];
    if (!current || !time || worst.outcome == FaultSurvey::none) return;
    const double allowed_A2s = current->lo * current->lo * time->lo;
    if (!above(worst.let_through_A2s, allowed_A2s)) return;
    Finding finding = finding_about(input, "short-time-withstand", Severity::error, part);
    finding.message =
        "a short circuit lets more through " + named(input.harness, part) + " than it withstands";
    const FaultAccount account = account_of(input, worst.outcome);
    const std::string passes = std::isfinite(worst.let_through_A2s)
                                   ? to_text(worst.let_through_A2s, Dimension::joule_integral)
                                   : amps(standing_A(input, part, account.story)) + " without end";
    finding.beside = passes + "; withstands " + to_text(allowed_A2s, Dimension::joule_integral);
    finding.working = {to_text(allowed_A2s, Dimension::joule_integral) + " = (" + amps(current->lo) +
                       ")2 x " + seconds(time->lo)};
    show_fault(input, finding, account);
    finding.source = "IEC 60947-1 (memory)";
    finding.help = "a quicker device before it, or a contact that withstands more";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        judge_breaking(input, PartId(i), report);
        judge_withstand(input, PartId(i), report);
        judge_unpromised(input, PartId(i), report);
    }
    judge_wires(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::short_circuits
