// Wires that get hotter than their insulation stands by the heat balance of where they lie, although no
// published figure forbids what they carry.
//
// The published ampacity stays the limit wherever one applies; there this is a note, because the balance is
// an estimate and comes out too hot for two or three wires laid together. Where no table goes it is a
// warning.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <vector>

#include "checker/heat/wire_hold.hpp"
#include "checker/heat/wire_temperatures.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/ampacity.hpp"

namespace loomward::rules::hot_wires {
namespace {

constexpr RuleInfo infos[] = {
    {"overheated-wire",
     "a wire that its published ampacity lets carry what it does, but that gets hotter than its insulation "
     "stands by the heat balance of all that lies with it",
     "T(t) <= limit of the insulation over the course of the mode: one body, led to the steady temperature "
     "of "
     "each level with the time constant of all metal that lies together",
     "heat balance of docs/heat.md; the limit stays that of overloaded-wire wherever a table goes",
     "a note; a warning where no published table goes: below 18 AWG, above 4/0 AWG, insulation above 200 "
     "degC, more than 40 conductors together; what carries next to nothing is told by insulation-mixed, and "
     "nothing beside a wire that is overloaded; two or three wires laid together come out too hot, by up to "
     "a "
     "quarter of their current; still air",
     "bundle L9 { wrap taped, length 0.5 m }\n"
     "load H9 { 48 V, 57 A, acts-as current, works 30..60 V }\n"
     "route F1.out (W30 10 mm2, 0.6 m, red, insulation pvc 70 degC, in L9) H9 (W31 10 mm2, 0.6 m, black, "
     "insulation pvc 70 degC, in L9) Q1.P-\nsplice X1",
     "splice X1"},
};

struct HotWire {
    WireHold hold;
    const Course* course = nullptr;
    bool settles = true;
    double peak_degC = 0;
    double after_s = never_s;  // from cold, of the mode
    double most_A = 0;         // its worst level
};

// Wires that another rule speaks of: overloaded ones and what lies with them, and those that carry next to
// nothing themselves.
std::vector<bool> told_elsewhere(const RuleInput& input) {
    std::vector<bool> overloaded(input.harness.wires.size(), false);
    for (std::size_t i = 0; i < overloaded.size(); ++i)
        overloaded[i] = input.wires[i].mode && above(input.wires[i].current_A, input.wires[i].limit_A);
    std::vector<bool> told = overloaded;
    for (const HeatGroup& group : heat_groups(input.harness)) {
        const auto over = [&](WireId wire) { return overloaded[wire.index()]; };
        if (std::none_of(group.wires.begin(), group.wires.end(), over)) continue;
        for (const WireId wire : group.wires) told[wire.index()] = true;
    }
    for (const WarmedWire& warmed : warmed_wires(input.circuit, input.facts, input.points))
        told[warmed.wire.index()] = true;
    return told;
}

// Whether its ampacity is carried on beyond the printed rows.
bool beyond_tables(const RuleInput& input, WireId id) {
    constexpr double hottest_column_degC = 200;
    constexpr int most_together = 40;
    const Wire& wire = input.harness.wire(id);
    constexpr int smallest_awg = 18, largest_awg = -3;
    return wire.area.lo < awg_area_mm2(smallest_awg) * (1 - 1e-9) ||
           wire.area.hi > awg_area_mm2(largest_awg) * (1 + 1e-9) ||
           conductor_limit_degC(input.facts, id) > hottest_column_degC ||
           input.wires[id.index()].surroundings.loaded_conductors > most_together;
}

// Of a wire that its course brings above its limit; none of others.
std::optional<HotWire> followed(const RuleInput& input, const WireHold& hold, const Course& course,
                                BoxCourses& boxes) {
    // An ambient above its limit is told by hot-place.
    if (hold.limit_K() <= 0) return std::nullopt;
    HotWire hot{hold, &course, true, 0, never_s, 0};
    const DutyPeak peak = course_peak(hold.body, hold.losses);
    hot.settles = peak.settles;
    hot.peak_degC = hold.ambient_degC + peak.rise_K;
    if (hot.settles && !above(hot.peak_degC, hold.limit_degC)) return std::nullopt;
    hot.after_s = first_reach_s(hold.body, hold.losses, 0, hold.limit_K());
    const double from_cold_s =
        body_in_box(boxes, hold.air, hold.body, hold.losses).first_reach_s(hold.limit_degC);
    if (from_cold_s != never_s) hot.after_s = from_cold_s;
    hot.most_A = peak_of(course, input.circuit.edge_of_wire[hold.wire.index()]).current_A;
    return hot;
}

bool worse(const RuleInput& input, const HotWire& now, const HotWire& known) {
    if (now.settles != known.settles) return !now.settles;
    constexpr double as_good_as_equal_K = 1e-6;
    if (std::abs(now.peak_degC - known.peak_degC) > as_good_as_equal_K && now.settles)
        return now.peak_degC > known.peak_degC;
    const auto name = [&](const HotWire& each) {
        return input.harness.modes[each.course->mode.index()].name;
    };
    return name(now) < name(known);
}

std::string how_hot(const HotWire& hot) {
    if (!hot.settles) return "settles nowhere";
    return degrees(hot.peak_degC) + " at " + amps(hot.most_A);
}

void tell(const RuleInput& input, const std::vector<const HotWire*>& alike, Report& report) {
    const HotWire& hot = *alike.front();
    const WireId id = hot.hold.wire;
    const WireLoading& loading = input.wires[id.index()];
    const bool beyond = beyond_tables(input, id);
    Finding finding =
        finding_about(input, "overheated-wire", beyond ? Severity::warning : Severity::note, id);
    finding.message =
        named(input.harness, id) + " gets hotter than its insulation stands, by its heat balance";
    finding.beside = how_hot(hot) + "; stands " + degrees(hot.hold.limit_degC);
    const double tau_s = hot.hold.body.time_constant_s;
    finding.working = {
        (hot.settles ? degrees(hot.peak_degC) : std::string("no end of it")) + " > " +
            degrees(hot.hold.limit_degC) + " (insulation), in air of " + degrees(hot.hold.ambient_degC),
        "it is there " + to_text(hot.after_s, Dimension::time) +
            " after the mode begins, from cold (time constant " + to_text(tau_s, Dimension::time) + ")",
        amps(rounded_down(hot.hold.lasting_A)) + " could stay there by the balance; its published " +
            amps(loading.limit_A) + (beyond ? " lies beyond the rows of the table" : " stays the limit")};
    finding.figures = {{"temperature", hot.peak_degC, Dimension::temperature},
                       {"limit", hot.hold.limit_degC, Dimension::temperature},
                       {"current", hot.most_A, Dimension::current},
                       {"after", hot.after_s, Dimension::time}};
    finding.source = "heat balance (docs/heat.md), an estimate";
    for (std::size_t i = 1; i < alike.size(); ++i)
        finding.related.push_back({input.harness.wire(alike[i]->hold.wire).where,
                                   named(input.harness, alike[i]->hold.wire) + " as well"});
    const EdgeId edge = input.circuit.edge_of_wire[id.index()];
    witnessed(input, finding, *peak_of(*hot.course, edge).point, edge);
    finding.help =
        "a thicker wire, a way of its own, or insulation that stands more; or measure it: run it at " +
        amps(hot.most_A) + " and note the temperature where it is hottest";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    std::map<std::size_t, HotWire> worst;  // by wire
    for (const Course& course : courses) {
        BoxCourses boxes(input.circuit, input.facts, course);
        for (const WireHold& hold : hot_wire_holds(input.circuit, input.facts, course)) {
            std::optional<HotWire> hot = followed(input, hold, course, boxes);
            if (!hot) continue;
            const auto [known, fresh] = worst.try_emplace(hold.wire.index(), *hot);
            if (!fresh && worse(input, *hot, known->second)) known->second = *std::move(hot);
        }
    }
    if (worst.empty()) return;
    const std::vector<bool> told = told_elsewhere(input);
    // Out and back, one behind the other: what is as hot for the same reason is told once.
    std::map<std::string, std::vector<const HotWire*>> alike;
    std::vector<std::vector<const HotWire*>*> in_order;
    for (const auto& [wire, hot] : worst) {
        if (told[wire]) continue;
        const std::string key = how_hot(hot) + degrees(hot.hold.limit_degC) +
                                std::string(input.harness.modes[hot.course->mode.index()].name);
        auto& list = alike[key];
        if (list.empty()) in_order.push_back(&list);
        list.push_back(&hot);
    }
    for (auto* list : in_order) {
        // The order of writing means nothing.
        std::sort(list->begin(), list->end(), [&](const HotWire* a, const HotWire* b) {
            return input.harness.wire(a->hold.wire).name < input.harness.wire(b->hold.wire).name;
        });
        tell(input, *list, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::hot_wires
