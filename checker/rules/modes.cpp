// Modes that cannot be: shorted sources, states that contradict the solved voltages, loads that cannot be
// fed.
#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/currents/converter_limits.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/nothing_on.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::modes {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"dead-short", "a mode whose closed contacts join the two poles of a source with no load between",
     "no way from plus to minus without a load", "found on the graph, before anything is solved",
     "only the modes that are stated", "splice X1\nroute F1.out (W30 16 mm2, 0.2 m, red) B1.-", "splice X1"},
    {"mode-contradicts",
     "a mode that gives a part a state its wiring does not: a contactor closed with a dead coil, at rest "
     "with "
     "a live one, a controller drawing without a supply, a load that the mode calls on or says the draw of "
     "and "
     "that nothing feeds",
     "U_coil >= 0.3 x rated where it is said to hold, <= 0.85 x rated where it is said to be at rest",
     "common practice, no source",
     "no numbers are given for a mode that contradicts a coil; a controller or load without a supply (below "
     "10 % of its voltage) draws nothing; loads that no line of a mode names may be without",
     "K1 closed, S1 open", "K1 S1 closed"},
    {"cannot-be-fed",
     "loads that the sources cannot feed in a mode, with the share of them that could be; what others on its "
     "supply leave too little voltage, a warning of a converter",
     "for one load behind one source P <= U^2 / (4 R)", "maximum power transfer",
     "at the pack's lowest voltage; a converter that has only a charger or panel before it and a pack behind "
     "it takes what there is",
     "load H2 { 48 V, 10 kW", "load H2 { 48 V, 10 W"},
    {"not-solved",
     "a mode whose equations did not settle: nothing is said about its currents; one in which the charging "
     "of capacitors could not be followed: nothing is said about what closes onto them; one whose cycles "
     "change too often to be followed to their end",
     "residual of Kirchhoff's laws", "Kirchhoff's laws",
     "48 capacitors that move at once are followed, and 16384 changes of what draws in cycles; of cycles of "
     "different length every way in which they meet, a warning where there are too many; anything else "
     "should not happen, and the harness is worth reporting",
     "", ""},
    {"no-mode",
     "a harness that states no mode, which is judged in modes that the program makes: at rest, with "
     "everything on, each of several controllers alone at its limit, charging, and with one contact at rest "
     "where "
     "that brings something new; or one in whose modes nothing is on, which is a warning",
     "-", "common practice, no source",
     "of contacts that would short a source closed together one stays open; coils pull in where they have "
     "voltage; errors that take several consumers at once are warnings; what follows what is not judged",
     "# no mode at all",
     "mode parked { others at rest }\nmode ready { others at rest, S7 closed }\nmode drive { others at rest, "
     "after ready 3 s, K1 S1 closed, U1 draws 35 A, U1 phases 60 A }"},
};

std::string_view posture_word(Posture posture) {
    switch (posture) {
        case Posture::closed:
            return "closed";
        case Posture::energised:
            return "energised";
        case Posture::released:
            return "released";
        default:
            return "open";
    }
}

Finding about_mode(const RuleInput& input, std::string_view rule, const OperatingPoint& point) {
    Finding finding;
    finding.rule = rule;
    finding.severity = Severity::error;
    const Mode& mode = input.harness.modes[point.mode.index()];
    finding.where = mode.where;
    finding.subject = mode.name;
    finding.mode = point.mode;
    return finding;
}

// A way from the source's plus to its minus that a dead short takes: breadth first over closed edges.
std::vector<Step> short_way(const RuleInput& input, const Mode& mode, const Edge& source) {
    std::vector<EdgeId> back(input.circuit.node_count());
    std::vector<bool> seen(input.circuit.node_count(), false);
    std::vector<NodeId> queue{source.to};
    seen[source.to.index()] = true;
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const Incidence& next : input.circuit.at(queue[head])) {
            const Edge& edge = input.circuit.edge(next.edge);
            const bool passes = is_conductor(edge.role);
            if (!passes || seen[next.other.index()] || !is_closed(input.circuit, mode, edge)) continue;
            seen[next.other.index()] = true;
            back[next.other.index()] = next.edge;
            queue.push_back(next.other);
        }
    if (!seen[source.from.index()]) return {};
    std::vector<EdgeId> edges;
    for (NodeId here = source.from; here != source.to;) {
        edges.push_back(back[here.index()]);
        const Edge& edge = input.circuit.edge(edges.back());
        here = edge.from == here ? edge.to : edge.from;
    }
    std::reverse(edges.begin(), edges.end());
    return steps_along(input.circuit, source.to, edges);
}

void report_short(const RuleInput& input, const OperatingPoint& point, PartId part, Report& report) {
    const Mode& mode = input.harness.modes[point.mode.index()];
    Finding finding = finding_about(input, "dead-short", Severity::error, part);
    finding.message = named(input.harness, part) + " is shorted";
    finding.beside = "in mode " + std::string(mode.name) + " its poles are joined with no load between";
    finding.mode = point.mode;
    finding.source = "found on the graph, every stated contact in its state";
    for (const EdgeId id : input.circuit.edges_of_part[part.index()]) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role != EdgeRole::emf && edge.role != EdgeRole::charger &&
            edge.role != EdgeRole::converter_output)
            continue;
        finding.witness = short_way(input, mode, edge);
        if (!finding.witness.empty()) break;
    }
    // The wire that closes it is what a person has to find: the one the way names first after the middle.
    for (const Step& step : finding.witness)
        if (const auto wire = input.harness.find_wire(step.name)) {
            const Edge& edge = input.circuit.edge(input.circuit.edge_of_wire[wire->index()]);
            finding.related.push_back(
                {input.harness.wire(*wire).where,
                 "the way goes through " + std::string(input.harness.terminal(edge.from_terminal).path) +
                     " " + step.name + " " + std::string(input.harness.terminal(edge.to_terminal).path)});
        }
    if (finding.related.size() > 6) finding.related.resize(6);
    finding.working = {"a way from plus to minus without a load"};
    finding.help = "open a contact on the way, or take out the wire that closes it";
    report.add(std::move(finding));
}

void report_contradiction(const RuleInput& input, const OperatingPoint& point, const Contradiction& what,
                          Report& report) {
    const Mode& mode = input.harness.modes[point.mode.index()];
    const State& state = mode.states[what.part.index()];
    Finding finding = about_mode(input, "mode-contradicts", point);
    finding.part = what.part;
    finding.where = state.where.valid() ? state.where : mode.where;
    const std::string who = named(input.harness, what.part);
    finding.message = mode.own ? "nothing feeds " + who + " in mode " + std::string(mode.name)
                               : "mode " + std::string(mode.name) + " contradicts the wiring of " + who;
    finding.working = {what.accepted           ? "accepted: the mode is judged as it is stated"
                       : what.voids_the_mode() ? "no numbers are given for this mode until it agrees"
                                               : "it draws nothing here; the rest of the mode is judged"};
    if (what.kind == Contradiction::Kind::no_supply) {
        const bool load = input.harness.part(what.part).kind == Kind::load;
        const double arrives_V = what.voltage_V < 1e-3 ? 0 : what.voltage_V;
        finding.beside = load ? std::string(state.profile >= 0 ? "said to draw" : "said to be on") +
                                    ", but nothing feeds it: " + volts(arrives_V)
                              : "it draws, but " + volts(what.voltage_V) + " arrive at its input";
        finding.help = load ? "close what feeds it in this mode, or say that it is off"
                            : "close what feeds it in this mode, or let it rest";
    } else {
        const bool dead = what.kind == Contradiction::Kind::coil_dead;
        finding.beside = "said to be " + std::string(posture_word(state.posture)) + ", but its coil has " +
                         volts(what.voltage_V < 1e-3 ? 0 : what.voltage_V);
        finding.help = dead ? "close what feeds its coil in this mode, or say that it is at rest"
                            : "say that it pulls in this mode, or open what feeds its coil";
    }
    finding.related.push_back({input.harness.part(what.part).where, who + " is here"});
    finding.source = "solved voltages of the mode";
    finding.corner = point.corner;
    report.add(std::move(finding));
}

// A converter that has only a panel or charger before it and a pack behind it, as a solar regulator has: it
// takes what there is, and the pack holds its output.
bool takes_what_there_is(const RuleInput& input, const OperatingPoint& point, const Edge& converter) {
    if (converter.role != EdgeRole::converter_input) return false;
    const Mode& mode = input.harness.modes[point.mode.index()];
    const auto leads = [&](const Edge& edge) {
        return conducts(edge.role) && edge.role != EdgeRole::converter_reverse &&
               is_closed(input.circuit, mode, edge);
    };
    DisjointSets joined = pieces(input.circuit, [&](EdgeId id) { return leads(input.circuit.edge(id)); });
    DisjointSets over_packs = pieces(input.circuit, [&](EdgeId id) {
        const Edge& edge = input.circuit.edge(id);
        return leads(edge) || edge.role == EdgeRole::emf;
    });
    bool charger = false, other = false, held = false;
    for (const EdgeId id : input.circuit.edges_of_part[converter.part.index()]) {
        const Edge& output = input.circuit.edge(id);
        if (output.role == EdgeRole::converter_output)
            held = over_packs.same(output.from.index(), output.to.index());
    }
    for (const Edge& source : input.circuit.edges) {
        if (!is_source(source.role)) continue;
        const bool before = joined.same(source.to.index(), converter.from.index());
        charger = charger || (before && source.role == EdgeRole::charger);
        other = other || (before && source.role != EdgeRole::charger);
    }
    return charger && !other && held;
}

// What others on its supply leave it is too little to work by, though it draws next to nothing: no limit of
// the sources. A converter stays off then; a load that the mode calls on does not work.
constexpr double next_to_nothing = 1e-3;  // of what it asks for
void report_low_supply(const RuleInput& input, const OperatingPoint& point, EdgeId user, Report& report) {
    const Edge& edge = input.circuit.edge(user);
    const std::string mode(input.harness.modes[point.mode.index()].name);
    const double stands_V = point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
    Finding finding = about_mode(input, "cannot-be-fed", point);
    finding.part = edge.part;
    finding.where = input.harness.part(edge.part).where;
    finding.subject = input.harness.part(edge.part).name;
    finding.message = named(input.harness, edge.part) + " has too little voltage to work in mode " + mode;
    finding.beside = volts(stands_V) + " with all else that is on";
    finding.working = {volts(stands_V) + " stand on its supply though it draws next to nothing"};
    if (edge.role == EdgeRole::converter_input) {
        finding.severity = Severity::warning;
        finding.working.push_back("it would be off there; the rest is judged as if it worked");
    }
    finding.figures = {{"voltage", stands_V, Dimension::voltage}};
    finding.source = "Ohm's law";
    witnessed(input, finding, point, user);
    finding.help = "less on the same supply in this mode, or a way of less resistance to it";
    report.add(std::move(finding));
}

// `of_all`: the share of all loads of the point that could be fed.
void report_collapse(const RuleInput& input, const OperatingPoint& point, std::size_t place, double of_all,
                     Report& report) {
    const EdgeId most = point.collapsed[place];
    const Edge& edge = input.circuit.edge(most);
    Finding finding = about_mode(input, "cannot-be-fed", point);
    finding.part = edge.part;
    finding.where = input.harness.part(edge.part).where;
    finding.subject = input.harness.part(edge.part).name;
    finding.message = named(input.harness, edge.part) + " cannot be fed in mode " +
                      std::string(input.harness.modes[point.mode.index()].name);
    const std::string share = to_text(of_all * 100, Dimension::percentage);
    const std::string of_its = to_text(point.held_share[place] * 100, Dimension::percentage);
    const double now_A = std::abs(point.edge_A[most.index()]);
    finding.beside = "the sources could feed " + of_its + " of what it asks for";
    finding.working = {
        "held at " + of_its + ", " + amps(now_A) + ": beyond it the voltage collapses; the rest is judged so",
        share + " of all the loads of this mode could be drawn at once"};
    finding.figures = {{"feedable", of_all * 100, Dimension::percentage},
                       {"held", point.held_share[place] * 100, Dimension::percentage}};
    finding.source = "maximum power transfer: P <= U^2 / (4 R)";
    witnessed(input, finding, point, most);
    finding.help = "a source or wiring of less resistance, or less to feed at once";
    report.add(std::move(finding));
}

// The parts that the mode's own lines put into a state: what it is about.
std::string stated_in(const RuleInput& input, const OperatingPoint& point) {
    const Mode& mode = input.harness.modes[point.mode.index()];
    std::string names;
    std::size_t count = 0;
    for (std::size_t i = 0; i < mode.states.size(); ++i) {
        if (mode.states[i].stated_by != StatedBy::line) continue;
        if (++count <= 8) names += (names.empty() ? "" : ", ") + std::string(input.harness.parts[i].name);
    }
    if (names.empty()) return "its parts at rest";
    return "of " + names + (count > 8 ? " and " + std::to_string(count - 8) + " more" : "");
}

void report_own_modes(const RuleInput& input, Report& report) {
    const std::vector<Mode>& modes = input.harness.modes;
    if (modes.empty()) return;
    const bool own = modes.front().own;
    if (!own && !leaves_everything_off(input)) return;
    Finding finding;
    finding.rule = "no-mode";
    finding.severity = own ? Severity::note : Severity::warning;
    finding.where = input.harness.where;
    finding.message = own ? "the harness states no mode" : "nothing is on in any mode of the harness";
    for (const Mode& mode : modes)
        finding.beside += (finding.beside.empty() ? "judged in: " : ", ") + std::string(mode.name);
    if (!own)
        finding.working = {
            "not judged: what flows, and what stands across coils and consumers, with anything on"};
    finding.source = "common practice, no source";
    finding.help = own ? "say what is on at once, and it is judged by that: mode parked { others at rest }"
                       : "a mode with what is on at once; or none at all, and everything on is judged";
    report.add(std::move(finding));
}

void report_not_followed(const RuleInput& input, ModeId mode, Report& report) {
    Finding finding;
    finding.rule = "not-solved";
    finding.severity = Severity::error;
    finding.where = input.harness.modes[mode.index()].where;
    finding.subject = input.harness.modes[mode.index()].name;
    finding.mode = mode;
    finding.message = "the capacitors could not be followed in mode " + std::string(finding.subject);
    finding.beside = "too many of them move at once, or no solution was found";
    finding.working = {
        "not judged in it: what contacts close onto, precharging, how long capacitors stay charged"};
    finding.source = "circuit theory";
    finding.help = "mode by mode with fewer of them, or a measurement of the inrush";
    report.add(std::move(finding));
}

// Cycles that change too often to be followed once, or that are not seen to meet in every way they can.
void report_cycles(const RuleInput& input, ModeId mode, Report& report) {
    const Mode& stated = input.harness.modes[mode.index()];
    const Timeline timeline = timeline_of(stated);
    const bool cut = timeline.followed_s < timeline.cycle_s * (1 - 1e-9);
    if (!cut && timeline.every_meeting) return;
    Finding finding;
    finding.rule = "not-solved";
    finding.severity = cut ? Severity::error : Severity::warning;
    finding.where = stated.where;
    finding.subject = stated.name;
    finding.mode = mode;
    finding.message = "the cycles of mode " + std::string(stated.name) + " could not be followed to the end";
    finding.beside = cut ? to_text(timeline.followed_s, Dimension::time, 3) + " of " +
                               to_text(timeline.cycle_s, Dimension::time, 3)
                         : "some of their levels may meet later";
    finding.working = {cut ? "not judged in it: what flows after that, and how warm it gets by then"
                           : "not judged in it: what flows where levels meet that were not seen to"};
    finding.source = "circuit theory";
    finding.help = cut ? "the quick cycle as a steady draw of the same heating (r.m.s.) in this mode, and a "
                         "mode of its own for its peak"
                       : "a mode of its own in which what can be on together is on together";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    report_own_modes(input, report);
    for (std::size_t i = 0; i < input.harness.modes.size(); ++i) report_cycles(input, ModeId(i), report);
    std::set<std::pair<PartId, Contradiction::Kind>> shorts;
    std::set<std::tuple<ModeId, PartId, Contradiction::Kind>> contradictions;
    std::set<ModeId> unsolved;
    std::set<std::pair<ModeId, PartId>> collapsed;
    const ConverterLimits limits(input.circuit, input.facts, input.zones.supply_of_node);
    for (const OperatingPoint& point : input.points) {
        bool shorted = false;
        for (const Contradiction& what : point.contradictions) {
            if (what.kind == Contradiction::Kind::dead_short ||
                what.kind == Contradiction::Kind::output_short) {
                shorted = shorted || what.voids_the_mode();
                if (shorts.emplace(what.part, what.kind).second)
                    report_short(input, point, what.part, report);
            } else if (contradictions.emplace(point.mode, what.part, what.kind).second) {
                report_contradiction(input, point, what, report);
            }
        }
        if (shorted) continue;
        std::optional<double> of_all;  // found only where it is told: it takes many solutions
        // Behind a converter at its limit: that is said of the converter.
        for (std::size_t i = 0; i < point.collapsed.size(); ++i) {
            const Edge& load = input.circuit.edge(point.collapsed[i]);
            if (!limits.feeds(point, load.from) && !takes_what_there_is(input, point, load) &&
                collapsed.emplace(point.mode, load.part).second) {
                if (point.held_share[i] < next_to_nothing) {
                    report_low_supply(input, point, point.collapsed[i], report);
                    continue;
                }
                if (!of_all) of_all = feedable_fraction(*point.asked);
                report_collapse(input, point, i, *of_all, report);
            }
        }
        if (point.status != SolveStatus::not_converged || !unsolved.insert(point.mode).second) continue;
        Finding finding = about_mode(input, "not-solved", point);
        finding.message =
            "mode " + std::string(input.harness.modes[point.mode.index()].name) + " could not be solved";
        finding.working = {
            "the equations did not settle; no numbers are given for this mode",
            "not judged in it: currents, voltages, what closes and opens; " + stated_in(input, point)};
        finding.corner = point.corner;
        report.add(std::move(finding));
    }
    // What is not judged is no reason for silence: a contact may close onto anything there.
    for (const ModeId mode : input.transients.not_followed)
        if (!unsolved.contains(mode)) report_not_followed(input, mode, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::modes
