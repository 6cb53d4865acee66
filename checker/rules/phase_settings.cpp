// The phase setting of a controller against its motor and the leads and contacts between them. The setting
// can be reached on any hill, whatever the modes say, and no fuse guards a phase lead.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/rules/standing_limit.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward::rules::phase_settings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"phase-setting-too-high",
     "a controller whose phase setting is above what a phase lead, a contact, splice, stud, bar or block on "
     "its way to the motor or the motor may carry",
     "phase current = phase-peak x phase-limit <= rating of each contact and point; of a wire or motor: <= I "
     "/ sqrt(1 "
     "- "
     "exp(-2 min / tau)); of a wire I = Iz, tau = k2 S2 / Iz2, of a motor I = carries, tau = 10 min",
     "common practice, no source: a controller gives its phase setting for two minutes; IEC 60255-149",
     "from cold, once; wires and motors up to where a phase parts into several; a motor by the slow end of "
     "its "
     "time constant (2 min to 10 min, common practice, no source)",
     "phase-peak 200 A", "phase-peak 70 A"},
};

struct Weak {
    double may_A = 0;
    std::string name, working;
    Span where;
    bool motor = false;
};

// The way of one phase, as far as nothing parts it.
std::vector<EdgeId> phase_way(const Circuit& circuit, NodeId at) {
    std::vector<EdgeId> way;
    EdgeId last;
    for (;;) {
        EdgeId next;
        NodeId onward;
        for (const Incidence& each : circuit.at(at)) {
            if (each.edge == last || !is_conductor(circuit.edge(each.edge).role)) continue;
            if (next) return way;
            next = each.edge;
            onward = each.other;
        }
        if (!next || std::find(way.begin(), way.end(), next) != way.end()) return way;
        way.push_back(next);
        last = next;
        at = onward;
    }
}

constexpr double hill_s = 120;  // how long a controller gives its phase setting

// How much more than for good something cold stands for so long, by its time constant.
double for_a_hill(double tau_s) {
    return 1 / std::sqrt(1 - std::exp(-hill_s / tau_s));
}
std::string for_a_hill_text(double tau_s) {
    return " / sqrt(1 - exp(-2 min / " + to_text(tau_s, Dimension::time) + "))";
}

void held_for_a_hill(const RuleInput& input, WireId id, Ampacity& may) {
    const Wire& wire = input.harness.wire(id);
    const double ambient_degC = input.facts.ambient(id).hi,
                 limit_degC = conductor_limit_degC(input.facts, id);
    const double tau_s = time_constant_s(
        wire.area.lo * wire.parallel, adiabatic_k(ambient_degC, limit_degC, wire.aluminium), may.current_A);
    may.current_A *= for_a_hill(tau_s);
    may.working = "(" + may.working + ")" + for_a_hill_text(tau_s);
}

std::optional<Weak> limit_of(const RuleInput& input, EdgeId id) {
    const Edge& edge = input.circuit.edge(id);
    if (edge.wire) {
        const Wire& wire = input.harness.wire(edge.wire);
        if (!wire.area.is_known()) return std::nullopt;
        Ampacity may = standing_ampacity(input.facts, edge.wire, input.wires[edge.wire.index()]);
        if (may.current_A > 0) held_for_a_hill(input, edge.wire, may);
        return Weak{may.current_A, "ampacity of " + named(input.harness, edge.wire),
                    amps(may.current_A) + " = " + may.working, wire.where, false};
    }
    const auto limit = standing_limit(input, edge, Direction::along);
    if (!limit) return std::nullopt;
    return Weak{limit->may_A, limit->name, limit->working, limit->where, false};
}

using Motors = std::map<NodeId, PartId>;  // by each point at which a lead of one begins
Motors motors_of(const RuleInput& input) {
    Motors motors;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const Part& part = input.harness.parts[i];
        for (std::size_t k = 0; part.kind == Kind::motor && k < part.terminals.count; ++k)
            motors.emplace(input.circuit.node(TerminalId(part.terminals.first + k)), PartId(i));
    }
    return motors;
}

// Of the motor at the end of that way.
std::optional<Weak> limit_of_motor(const RuleInput& input, const Motors& motors, NodeId start,
                                   const std::vector<EdgeId>& way) {
    NodeId end = start;
    for (const EdgeId step : way) {
        const Edge& edge = input.circuit.edge(step);
        end = edge.from == end ? edge.to : edge.from;
    }
    const auto found = motors.find(end);
    if (found == motors.end()) return std::nullopt;
    const PartId motor = found->second;
    const auto carries = input.facts.quantity(motor, "carries"_attr);
    if (!carries) return std::nullopt;
    const WarmUp warm_up = motor_warm_up();
    const double slow_s = warm_up.slow_s, may_A = carries->lo * for_a_hill(slow_s);
    input.facts.assume("time constant of " + warm_up.of,
                       to_text(warm_up.quick_s, Dimension::time) + " to " + to_text(slow_s, Dimension::time),
                       warm_up.source, input.harness.part(motor).name);
    return Weak{may_A, "carries of " + named(input.harness, motor),
                amps(may_A) + " = " + amps(carries->lo) + for_a_hill_text(slow_s),
                input.harness.part(motor).where, true};
}

using Points = std::map<NodeId, std::vector<PartId>>;  // splices, studs, bars and blocks

// Of the points that a way passes.
std::vector<Weak> limits_of_points(const RuleInput& input, const Points& points, NodeId start,
                                   const std::vector<EdgeId>& way) {
    std::vector<Weak> limits;
    NodeId here = start;
    for (std::size_t i = 0; i <= way.size(); ++i) {
        if (const auto found = points.find(here); found != points.end())
            for (const PartId part : found->second)
                if (const auto may = point_rating(input.facts, part))
                    limits.push_back({may->may_A, may->name + " of " + named(input.harness, part),
                                      may->working, input.harness.part(part).where, false});
        if (i < way.size()) here = other_end(input.circuit.edge(way[i]), here);
    }
    return limits;
}

std::vector<TerminalId> phase_terminals(const RuleInput& input, PartId id) {
    const Part& part = input.harness.part(id);
    std::vector<TerminalId> phases;
    for (std::size_t i = 0; i < part.terminals.count; ++i) {
        const TerminalId terminal(part.terminals.first + i);
        if (is_motor_lead(input.harness.terminal(terminal).role)) phases.push_back(terminal);
    }
    return phases;
}

void judge(const RuleInput& input, const Motors& motors, const Points& points, PartId id, Report& report) {
    const std::optional<Setting> setting = phase_limit(input.facts, id);
    if (!setting) return;
    std::optional<Weak> weakest;
    std::string names;
    std::vector<Span> places;
    std::set<EdgeId> walked;
    for (const TerminalId terminal : phase_terminals(input, id)) {
        const NodeId start = input.circuit.node(terminal);
        const std::vector<EdgeId> way = phase_way(input.circuit, start);
        const auto of_motor = limit_of_motor(input, motors, start, way);
        if (of_motor && above(setting->current_A, of_motor->may_A)) {
            if (!weakest || of_motor->may_A < weakest->may_A) weakest = of_motor;
            if (std::find(places.begin(), places.end(), of_motor->where) == places.end())
                places.push_back(of_motor->where);
        }
        for (const Weak& limit : limits_of_points(input, points, start, way)) {
            if (limit.may_A <= 0 || !above(setting->current_A, limit.may_A)) continue;
            if (!weakest || limit.may_A < weakest->may_A) weakest = limit;
            if (std::find(places.begin(), places.end(), limit.where) == places.end())
                places.push_back(limit.where);
        }
        for (const EdgeId step : way) {
            if (!walked.insert(step).second) continue;  // where leads are joined one way leads over another
            const auto limit = limit_of(input, step);
            if (!limit || !above(setting->current_A, limit->may_A)) continue;
            // What a mode overloads is told by the rule for that.
            const WireId wire = input.circuit.edge(step).wire;
            if (wire && input.wires[wire.index()].current_A > input.wires[wire.index()].limit_A &&
                input.wires[wire.index()].mode)
                continue;
            if (!weakest || limit->may_A < weakest->may_A) weakest = limit;
            if (wire) names += (names.empty() ? "" : ", ") + std::string(input.harness.wire(wire).name);
            places.push_back(limit->where);
        }
    }
    if (!weakest) return;
    Finding finding = finding_about(input, "phase-setting-too-high", Severity::warning, id);
    const bool motor_is_weakest = weakest->motor;
    finding.message = named(input.harness, id) + " is set to give its motor more than " +
                      (motor_is_weakest ? "it may carry" : "the way to it may carry");
    finding.beside =
        amps(setting->current_A) + " in each phase; the weakest part may carry " + amps(weakest->may_A);
    finding.working = {setting->working + " at the setting",
                       amps(setting->current_A) + " > " + amps(weakest->may_A) + " (" + weakest->name + ")",
                       weakest->working};
    if (!names.empty()) finding.working.push_back("too thin: " + names);
    finding.figures = {{"setting", setting->current_A, Dimension::current},
                       {"limit", weakest->may_A, Dimension::current}};
    finding.source = "common practice, no source; rating of the weakest part";
    finding.related.push_back({weakest->where, "the weakest part of the way: " + weakest->name});
    for (const Span& place : places)
        if (place != weakest->where) finding.related.push_back({place, "set above what this may carry, too"});
    finding.help = "a phase setting of " + amps(std::floor(weakest->may_A)) + " or less, or " +
                   (motor_is_weakest ? "a motor that carries more" : "thicker leads");
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const Motors motors = motors_of(input);
    const Points points = points_at(input.circuit);
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (input.harness.parts[i].kind == Kind::controller) judge(input, motors, points, PartId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::phase_settings
