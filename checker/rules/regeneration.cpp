// Current that comes back: whether it finds a pack, and whether the pack and all on the way take it.
//
// A controller that brakes pushes its current out whatever the bus does. Where nothing takes it, its own
// capacitors do, and the bus rises within milliseconds until something gives way.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/currents/braking.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
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
     "trips at, or that lifts the bus above what the controller takes",
     "I_returned <= charge of each pack and battery management, < charge-trips; U_full + I R <= largest "
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

std::string seconds(double value) {
    return to_text(value, Dimension::time);
}

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
struct Complaint {
    double ratio = 0;
    Severity severity = Severity::warning;
    PartId part;
    std::string beside, working;
    double passes_A = 0;  // all controllers together; 0: no regeneration would
    const OperatingPoint* point = nullptr;
};

class Settings {
  public:
    Settings(const RuleInput& input, const OperatingPoint& point) : input_(input), point_(point) {
        for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
            if (input.circuit.edges[i].role == EdgeRole::regeneration) total_A_ += point.edge_A[i];
    }

    std::vector<Complaint> look(EdgeId id) {
        complaints_.clear();
        look_at_bus(id);
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const Edge& edge = input_.circuit.edges[i];
            if (edge.role == EdgeRole::emf) look_at_pack(edge, -point_.edge_A[i]);
            if (edge.role == EdgeRole::trip)
                look_at_bms(edge, -discharge_sign(input_.facts, edge) * point_.edge_A[i]);
        }
        return std::move(complaints_);
    }

  private:
    // Packs that level each other out through contacts which are never closed together say nothing.
    bool comes_from_braking(double amps_in) const { return amps_in > 1e-3 && amps_in <= total_A_ * 1.001; }

    void complain(double now, double limit, Severity severity, PartId part, std::string beside,
                  std::string working, double share) {
        complaints_.push_back({now / limit, severity, part, std::move(beside), std::move(working),
                               std::max(0.0, total_A_ * share), &point_});
    }

    void look_at_bus(EdgeId id) {
        const Edge& back = input_.circuit.edge(id);
        const auto most = input_.facts.quantity(back.part, "input"_attr);
        const double now_V = point_.node_V[back.to.index()] - point_.node_V[back.from.index()];
        if (!most || !above(now_V, most->hi)) return;
        // Of what it lifts the bus by above full packs that much is left.
        const double full_V = Potentials(input_).node_V(back.to);
        const double share = full_V < now_V ? (most->hi - full_V) / (now_V - full_V) : 0;
        complain(now_V, most->hi, Severity::error, back.part,
                 "the bus rises to " + volts(now_V) + "; takes up to " + volts(most->hi),
                 volts(now_V) + " > " + volts(most->hi) + " with " + amps(point_.edge_A[id.index()]) +
                     " returned into full packs",
                 share);
    }

    void look_at_pack(const Edge& edge, double amps_in) {
        const auto charge = input_.facts.quantity(edge.part, "charge"_attr);
        if (!charge || charge->lo <= 0 || !comes_from_braking(amps_in) || !above(amps_in, charge->lo)) return;
        complain(amps_in, charge->lo, Severity::warning, edge.part,
                 amps(amps_in) + " into it; may be charged with " + amps(charge->lo),
                 amps(amps_in) + " > " + amps(charge->lo) + " (charge of " +
                     named(input_.harness, edge.part) + ")",
                 charge->lo / amps_in);
    }

    void look_at_bms(const Edge& edge, double amps_in) {
        if (!comes_from_braking(amps_in)) return;
        const std::string who = named(input_.harness, edge.part);
        const auto charge = input_.facts.quantity(edge.part, "charge"_attr);
        if (charge && charge->lo > 0 && above(amps_in, charge->lo))
            complain(amps_in, charge->lo, Severity::warning, edge.part,
                     amps(amps_in) + " through it; passes " + amps(charge->lo) + " of charge",
                     amps(amps_in) + " > " + amps(charge->lo) + " (charge of " + who + ")",
                     charge->lo / amps_in);
        const Part& part = input_.harness.part(edge.part);
        for (const Attribute& attribute : input_.harness.attributes_of(part.attributes)) {
            if (attribute.name != "charge-trips"_attr) continue;
            const auto values = input_.harness.values_of(attribute);
            if (values[0].known == Knowledge::unknown || amps_in < values[0].lo) continue;
            complain(amps_in, values[0].lo, Severity::error, edge.part,
                     "it opens at " + amps(values[0].lo) + "; " + amps(amps_in) + " come back",
                     amps(amps_in) + " >= " + amps(values[0].lo) + " (charge-trips of " + who +
                         "): it opens, the bus rises and the brake is lost",
                     values[0].lo / amps_in * 0.999);
        }
    }

    const RuleInput& input_;
    const OperatingPoint& point_;
    double total_A_ = 0;
    std::vector<Complaint> complaints_;
};

// One figure that none of them complains of.
std::string passing_text(const std::vector<Complaint>& complaints) {
    double passes_A = complaints.front().passes_A;
    for (const Complaint& each : complaints) passes_A = std::min(passes_A, each.passes_A);
    const double rounded_A = std::floor(passes_A * (1 + 1e-9) * 10) / 10;
    return rounded_A > 0
               ? "a regeneration of " + amps(rounded_A) + " or less, all controllers together, would pass"
               : std::string("no regeneration would pass");
}

void report_setting(const RuleInput& input, EdgeId id, std::vector<Complaint> complaints, Report& report) {
    std::stable_sort(complaints.begin(), complaints.end(), [](const Complaint& a, const Complaint& b) {
        return a.severity != b.severity ? a.severity < b.severity : a.ratio > b.ratio;
    });
    const Edge& back = input.circuit.edge(id);
    const Complaint& worst = complaints.front();
    Finding finding = finding_about(input, "regeneration-too-high", worst.severity, back.part);
    finding.message = named(input.harness, back.part) + " is set to return more than can be taken";
    finding.beside = (worst.part != back.part ? named(input.harness, worst.part) + ": " : "") + worst.beside;
    const auto regen = input.facts.quantity(back.part, "regen"_attr);
    finding.working.push_back(amps(regen->hi) + " (regen of " + named(input.harness, back.part) + ")");
    std::set<std::string> lines;
    for (const Complaint& each : complaints) {
        if (!lines.insert(each.working).second || lines.size() > 6) continue;
        finding.working.push_back(each.working);
        if (each.part != back.part)
            finding.related.push_back(
                {input.harness.part(each.part).where, named(input.harness, each.part) + ": " + each.beside});
    }
    finding.figures = {{"regen", regen->hi, Dimension::current}};
    finding.source = "rating of the part";
    witnessed(input, finding, *worst.point, id);
    finding.help = passing_text(complaints);
    if (worst.part == back.part) finding.help += "; or a controller that takes a higher voltage";
    report.add(std::move(finding));
}

void judge_settings(const RuleInput& input, const std::vector<OperatingPoint>& braking, EdgeId id,
                    Report& report) {
    std::vector<Complaint> all;
    for (const OperatingPoint& point : braking) {
        if (!point.usable() || point.edge_A[id.index()] < 1e-3) continue;
        std::vector<Complaint> here = Settings(input, point).look(id);
        std::move(here.begin(), here.end(), std::back_inserter(all));
    }
    if (!all.empty()) report_setting(input, id, std::move(all), report);
}

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
        } else {
            judge_settings(input, braking, id, report);
        }
        for (std::size_t i = 0; i < input.harness.modes.size(); ++i)
            judge_entering(input, ModeId(i), id, report);
    }
}

}  // namespace

extern const RuleFamily regeneration;
const RuleFamily regeneration{infos, run};

}  // namespace loomward::rules
