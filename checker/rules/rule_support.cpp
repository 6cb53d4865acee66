#include "checker/rules/rule_support.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/circuit/part_edges.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

std::string named(const Harness& harness, PartId part) {
    const Part& fitted = harness.part(part);
    return std::string(info(fitted.kind).word) + " " + std::string(fitted.name);
}
std::string named(const Harness& harness, WireId wire) {
    const Wire& each = harness.wire(wire);
    return (each.cable ? "core " : "wire ") + std::string(each.name);
}

std::string rated_thing(const Harness& harness, const Edge& edge) {
    if (edge.role == EdgeRole::contact)
        return "contact " + std::string(harness.terminal(edge.from_terminal).path);
    if (edge.role == EdgeRole::low_side || edge.role == EdgeRole::high_side)
        return "driver pin " + std::string(harness.terminal(driver_pin(edge)).path);
    return named(harness, edge.part);
}

Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, PartId part) {
    Finding finding;
    finding.rule = rule;
    finding.severity = severity;
    finding.part = part;
    finding.where = input.harness.part(part).where;
    finding.subject = input.harness.part(part).name;
    return finding;
}
Finding finding_about(const RuleInput& input, std::string_view rule, Severity severity, WireId wire) {
    Finding finding;
    finding.rule = rule;
    finding.severity = severity;
    finding.wire = wire;
    finding.where = input.harness.wire(wire).where;
    finding.subject = input.harness.wire(wire).name;
    return finding;
}

std::optional<Bound> short_tap(const RuleInput& input, WireId id) {
    const Circuit& circuit = input.circuit;
    const double allowed_m = input.facts.policy("unprotected-length"_attr).hi * 1.0001;
    const double own_m = input.harness.wire(id).length.hi;
    if (own_m > allowed_m) return std::nullopt;
    const std::vector<EdgeId>& before = input.proof.wires[id.index()].guarding().cut;
    const Edge& tap = circuit.edge(circuit.edge_of_wire[id.index()]);
    for (const auto& [end, other] : {std::pair(tap.from, tap.to), std::pair(tap.to, tap.from)}) {
        // Over direct joints, and on to what is no longer than the tap may be. Nothing is walked twice: the
        // way back over a piece of the tap itself is not a longer tap.
        std::map<NodeId, double> reached{{end, own_m}};
        std::vector<NodeId> queue{end};
        std::set<EdgeId> walked{circuit.edge_of_wire[id.index()]};
        Bound own;
        bool guarded = true;
        for (std::size_t head = 0; head < queue.size() && guarded; ++head)
            for (const Incidence& next : circuit.at(queue[head])) {
                const Edge& edge = circuit.edge(next.edge);
                if (!walked.insert(next.edge).second) continue;
                const double trips_A = edge.role == EdgeRole::protector
                                           ? Capacities(circuit, input.facts).guard_A(edge, true)
                                           : unbounded_A;
                if (is_protective(edge.role) || trips_A < unbounded_A) {
                    // What guards the tap itself lies before it.
                    guarded = guarded && std::find(before.begin(), before.end(), next.edge) == before.end();
                    own.current_A += is_protective(edge.role)
                                         ? operating_current(input.facts, edge.part).current_A
                                         : trips_A;
                    own.cut.push_back(next.edge);
                    continue;
                }
                const double there_m =
                    reached[queue[head]] + (edge.wire ? input.harness.wire(edge.wire).length.hi : 0);
                const bool passes = edge.wire || edge.role == EdgeRole::joint || edge.role == EdgeRole::shunt;
                if (!passes || there_m > allowed_m || next.other == other) {
                    guarded = false;
                    break;
                }
                if (reached.emplace(next.other, there_m).second) queue.push_back(next.other);
            }
        if (!guarded || own.cut.empty()) continue;
        std::sort(own.cut.begin(), own.cut.end());
        return own;
    }
    return std::nullopt;
}

bool is_short_tap(const RuleInput& input, WireId id) {
    return short_tap(input, id).has_value();
}

bool accepted_alone(const RuleInput& input, std::string_view rule, WireId wire) {
    const auto& all = input.harness.acceptances;
    return std::any_of(all.begin(), all.end(), [&](const Acceptance& acceptance) {
        return acceptance.wire == wire && acceptance.rule == rule;
    });
}

bool contradicts(const RuleInput& input, ModeId mode) {
    return std::any_of(input.points.begin(), input.points.end(), [&](const OperatingPoint& point) {
        return point.mode == mode && std::any_of(point.contradictions.begin(), point.contradictions.end(),
                                                 [](const auto& what) { return what.voids_the_mode(); });
    });
}

bool looks_at_every_mode(const RuleInput& input) {
    std::vector<bool> looked_at(input.harness.modes.size(), false);
    for (const OperatingPoint& point : input.points)
        if (point.mode) looked_at[point.mode.index()] = true;
    return std::all_of(looked_at.begin(), looked_at.end(), [](bool each) { return each; });
}

std::string flow_text(const CourseLoad& load) {
    if (load.stays()) return amps(load.current_A);
    return amps(load.level_A) + " for " + to_text(load.lasts_s, Dimension::time) + ", as warm as " +
           amps(load.current_A) + " for long";
}

std::vector<std::string> excess_working(const RuleInput& input, const Excess& excess, PartId part,
                                        const std::string& limit_name) {
    std::vector<std::string> lines{amps(excess.load.current_A) + " > " + amps(excess.may_A) +
                                   (limit_name.empty() ? "" : " (" + limit_name + ")")};
    if (excess.load.stays()) return lines;
    const WarmUp& warm_up = excess.warm_up;
    lines.push_back(excess.load.working(warm_up));
    if (!warm_up.assumed) return lines;
    const std::string quick = to_text(warm_up.quick_s, Dimension::time);
    const std::string spread =
        warm_up.slow_s > warm_up.quick_s ? quick + " to " + to_text(warm_up.slow_s, Dimension::time) : quick;
    if (warm_up.slow_s > warm_up.quick_s)
        lines.push_back(excess.certain
                            ? "so it is up to a time constant of " + to_text(warm_up.slow_s, Dimension::time)
                            : "with a time constant of " + to_text(warm_up.slow_s, Dimension::time) +
                                  " it would pass; state what it withstands, and for how long");
    input.facts.assume("time constant of " + warm_up.of, spread, warm_up.source,
                       input.harness.part(part).name);
    return lines;
}

Severity severity_of(const Excess& excess) {
    return excess.certain ? Severity::error : Severity::warning;
}

std::string setting_text(const RuleInput& input, const AtSetting& at) {
    return named(input.harness, at.controller) + " takes its setting of " + amps(at.limit_A) +
           ", all else as in mode " + std::string(input.harness.modes[at.point.mode.index()].name);
}

OpenCause made_below(const RuleInput& input, PartId part, double current_A) {
    return {std::string(input.harness.part(part).name),
            "makes",
            {},
            Turn{{current_A, current_A, Dimension::current, Knowledge::stated}, false}};
}

void witnessed(const RuleInput& input, Finding& finding, const OperatingPoint& point, EdgeId edge) {
    finding.mode = point.mode;
    finding.corner = point.corner;
    finding.witness = current_path(input.circuit, point, edge);
}

}  // namespace loomward
