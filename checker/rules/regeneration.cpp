// Current that comes back: whether it finds a pack, and whether the pack and all on the way take it.
//
// A controller that brakes pushes its current out whatever the bus does. Where nothing takes it, its own
// capacitors do, and the bus rises within milliseconds until something gives way.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/currents/braking.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/regeneration_settings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::regeneration {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"regeneration-blocked",
     "a controller whose returned current finds no pack: a diode, an open contact, or no way at all lies "
     "between",
     "the current returned is taken by packs and loads; else U rises by I t / C", "Kirchhoff's laws",
     "in each mode that returns current, and at the setting in each mode in which the controller draws; "
     "where no "
     "mode uses it, with every contact closed; a battery management that opens because the pack is full is "
     "not "
     "followed",
     "splice X1\ncontroller U9 { input 30..60 V, capacitance 1 mF, supply-limit 5 A, phase-peak 10 A, regen "
     "5 A }\n"
     "diode D9 { 10 A, 100 V, drop 0.6 V }\nroute K1.out (W30 4 mm2, 0.2 m, red) D9 (W31 4 mm2, 0.2 m, red) "
     "U9.+\n"
     "route U9.- (W32 4 mm2, 0.2 m, black) Q1.P-",
     "splice X1"},
    {"regeneration-too-high",
     "a regeneration setting above what the pack may be charged with, above what the battery management "
     "passes or "
     "trips at, above what a contact, switch, shunt or diode on the way back may carry, or that lifts the "
     "bus above what the controller takes, or anything else that hangs on it",
     "I_returned <= charge of each pack (at the temperatures of its place) and battery management, <= rating "
     "of each part on the way, < charge-trips; U_full + I R <= largest "
     "input "
     "voltage",
     "rating of the part",
     "full packs, no load drawing, every controller of the mode braking at once; parallel packs share as "
     "their "
     "resistances do; warning where a rating is passed, error where the battery management opens or the bus "
     "rises "
     "too far: then the brake is lost",
     "regen 40 A", "regen none"},
    {"regeneration-cut-off",
     "a mode, entered while current comes back, that opens what leads to the pack: the current goes on into "
     "the "
     "capacitors of the controller",
     "t = C (U_max - U) / I", "circuit theory",
     "only modes that say what they are entered from; how soon the controller stops by itself is not known",
     "splice X1\ncontroller U9 { input 30..60 V, capacitance 1 mF, supply-limit 5 A, phase-peak 10 A, regen "
     "5 A }\n"
     "route K1.out (W30 4 mm2, 0.2 m, red) U9.+\nroute U9.- (W32 4 mm2, 0.2 m, black) Q1.P-\n"
     "mode slow { others at rest, after ready 3 s, K1 S1 closed, U9 returns 2 A }\n"
     "mode struck { others at rest, after slow 1 s }",
     "splice X1"},
};

constexpr double taken_share = 0.99;  // of a returned current: anything less is not taken

// What a current would go through next, were it not for that.
struct Barrier {
    EdgeId edge;
    std::string says;
};

// What bounds the piece that the current reaches from the plus and the minus of the controller: diodes the
// wrong way round, and contacts that the mode leaves open.
std::vector<Barrier> barriers(const RuleInput& input, const Mode* mode, const Edge& back) {
    const Circuit& circuit = input.circuit;
    std::vector<bool> seen(circuit.node_count(), false);
    std::vector<NodeId> queue{back.to, back.from};
    for (const NodeId node : queue) seen[node.index()] = true;
    std::vector<Barrier> found;
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const Incidence& next : circuit.at(queue[head])) {
            const Edge& edge = circuit.edge(next.edge);
            if (edge.role == EdgeRole::diode && edge.to == queue[head])
                found.push_back({next.edge, "lets no current back"});
            if (!is_conductor(edge.role) || seen[next.other.index()]) continue;
            if (mode && !is_closed(circuit, *mode, edge)) {
                found.push_back({next.edge, edge.role == EdgeRole::contact ? "is not mated" : "is open"});
                continue;
            }
            seen[next.other.index()] = true;
            queue.push_back(next.other);
        }
    // Both ends inside: it parts nothing.
    std::erase_if(found, [&](const Barrier& each) {
        const Edge& edge = circuit.edge(each.edge);
        return seen[edge.from.index()] && seen[edge.to.index()];
    });
    return found;
}

// The same for what lies behind only one contact: of open contacts those that hold a pack off.
std::string barrier_names(const RuleInput& input, const std::vector<Barrier>& found, Finding& finding) {
    std::set<PartId> told;
    std::string names;
    for (const Barrier& each : found) {
        const PartId part = input.circuit.edge(each.edge).part;
        if (!part || !told.insert(part).second || told.size() > 4) continue;
        const std::string says = named(input.harness, part) + " " + each.says;
        names += (names.empty() ? "" : ", ") + says;
        finding.related.push_back({input.harness.part(part).where, says});
    }
    return names;
}

// How soon the controller's own capacitors rise to what it takes.
void add_rise(const RuleInput& input, const Edge& back, double returned_A, Finding& finding) {
    const auto most = input.facts.quantity(back.part, "input"_attr);
    const auto farad = input.facts.quantity(back.part, "capacitance"_attr);
    const Potentials potentials(input);
    const double full_V = potentials.node_V(back.to);
    if (!most || !farad || farad->lo <= 0 || full_V <= 0 || full_V >= most->hi) return;
    const double rise_V = most->hi - full_V, time_s = farad->lo * rise_V / returned_A;
    finding.working.push_back(seconds(time_s) + " = " + to_text(farad->lo, Dimension::capacitance) + " x " +
                              volts(rise_V) + " / " + amps(returned_A) + ": from a full pack's " +
                              volts(full_V) + " to " + volts(most->hi) + ", the most it takes");
    finding.figures.push_back({"time", time_s, Dimension::time});
}

const OperatingPoint* blocked_in(const std::vector<OperatingPoint>& points, EdgeId id) {
    for (const OperatingPoint& point : points)
        if (point.usable() &&
            std::find(point.unabsorbed.begin(), point.unabsorbed.end(), id) != point.unabsorbed.end())
            return &point;
    return nullptr;
}

double returned_A(const RuleInput& input, const OperatingPoint& point, const Edge& back, bool stated) {
    double most_A = 0;
    if (stated) {
        const Mode& mode = input.harness.modes[point.mode.index()];
        const State& state = mode.states[back.part.index()];
        for (const Level& level : mode.profiles[static_cast<std::size_t>(state.profile)].levels)
            if (!level.limit) most_A = std::max(most_A, level.amount.hi);
    }
    const auto regen = input.facts.quantity(back.part, "regen"_attr);
    return most_A > 0 ? most_A : regen ? regen->hi : 0;
}

void report_blocked(const RuleInput& input, const OperatingPoint& point, EdgeId id, bool stated,
                    Report& report) {
    const Edge& back = input.circuit.edge(id);
    const double amps_back = returned_A(input, point, back, stated);
    const Mode* mode = point.mode ? &input.harness.modes[point.mode.index()] : nullptr;
    Finding finding = finding_about(input, "regeneration-blocked", Severity::error, back.part);
    finding.message = "what " + named(input.harness, back.part) + " returns finds no pack";
    const auto most = input.facts.quantity(back.part, "input"_attr);
    finding.beside = amps(amps_back) + " come back" + (stated ? "" : " at its setting") +
                     (most ? "; the bus rises past " + volts(most->hi) + ", the most it takes"
                           : "; the bus rises until something gives way");
    const std::string names = barrier_names(input, barriers(input, mode, back), finding);
    finding.working.push_back(amps(std::abs(point.edge_A[id.index()])) + " of " + amps(amps_back) +
                              " are taken by anything" + (names.empty() ? "" : ": " + names));
    add_rise(input, back, amps_back, finding);
    finding.figures.push_back({"returned", amps_back, Dimension::current});
    finding.source = "Kirchhoff's laws";
    finding.mode = point.mode;
    finding.corner = point.corner;
    finding.help = "a way back to a pack that takes it in every such mode, or regen none";
    report.add(std::move(finding));
}

// What a returned current does to one part, against what that may take.
// ---- cut off while it brakes
// --------------------------------------------------------------------------------

double largest_back_A(const RuleInput& input, ModeId mode, EdgeId id) {
    double most_A = 0;
    for (const OperatingPoint& point : input.points)
        if (point.mode == mode && point.usable() &&
            std::find(point.unabsorbed.begin(), point.unabsorbed.end(), id) == point.unabsorbed.end())
            most_A = std::max(most_A, point.edge_A[id.index()]);
    return most_A;
}

void judge_entering(const RuleInput& input, ModeId entered, EdgeId id, Report& report) {
    const Mode& mode = input.harness.modes[entered.index()];
    const Edge& back = input.circuit.edge(id);
    if (!mode.after || mode.after == entered) return;
    const double back_A = largest_back_A(input, mode.after, id);
    if (back_A < 0.1) return;
    const OperatingPoint point = brake_after(input.circuit, input.facts, back.part, mode.after, entered);
    if (point.status == SolveStatus::not_converged || point.edge_A.empty() ||
        point.edge_A[id.index()] >= taken_share * back_A)
        return;
    Finding finding = finding_about(input, "regeneration-cut-off", Severity::note, back.part);
    const std::string before(input.harness.modes[mode.after.index()].name);
    finding.message = "mode " + std::string(mode.name) + " cuts " + named(input.harness, back.part) +
                      " off while it returns current";
    const std::string names = barrier_names(input, barriers(input, &mode, back), finding);
    finding.beside = amps(back_A) + " come back in mode " + before + (names.empty() ? "" : "; then " + names);
    finding.working.push_back(amps(back_A) + " go into its own capacitors until it stops giving back");
    add_rise(input, back, back_A, finding);
    finding.related.push_back({mode.where, "mode " + std::string(mode.name) + " is entered here"});
    finding.figures.push_back({"returned", back_A, Dimension::current});
    finding.source = "circuit theory";
    finding.mode = entered;
    finding.help =
        "a controller that is known to stop giving back at once when its bus rises, or a stop that "
        "first ends the braking";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    std::vector<EdgeId> returning;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::regeneration) returning.emplace_back(i);
    if (returning.empty()) return;
    const std::vector<OperatingPoint> braking = brake_at_settings(input.circuit, input.facts);
    for (const EdgeId id : returning) {
        if (const OperatingPoint* stated = blocked_in(input.points, id)) {
            report_blocked(input, *stated, id, true, report);
        } else if (const OperatingPoint* set = blocked_in(braking, id)) {
            report_blocked(input, *set, id, false, report);
        }
        judge_settings(input, braking, id, report);
        for (std::size_t i = 0; i < input.harness.modes.size(); ++i)
            judge_entering(input, ModeId(i), id, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::regeneration
