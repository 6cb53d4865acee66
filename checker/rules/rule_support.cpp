#include "checker/rules/rule_support.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"
#include "checker/protection/return_tree.hpp"

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
        return "driver pin " +
               std::string(
                   harness.terminal(edge.role == EdgeRole::low_side ? edge.from_terminal : edge.to_terminal)
                       .path);
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

std::optional<double> short_tap_A(const RuleInput& input, WireId id) {
    const Circuit& circuit = input.circuit;
    const double allowed_m = input.facts.policy("unprotected-length"_attr).hi * 1.0001;
    const double own_m = input.harness.wire(id).length.hi;
    if (own_m > allowed_m) return std::nullopt;
    const std::vector<EdgeId>& before = input.proof.wires[id.index()].guarding().cut;
    const Edge& tap = circuit.edge(circuit.edge_of_wire[id.index()]);
    for (const auto& [end, other] : {std::pair(tap.from, tap.to), std::pair(tap.to, tap.from)}) {
        // Over direct joints, and on to what is no longer than the tap may be.
        std::map<NodeId, double> reached{{end, own_m}};
        std::vector<NodeId> queue{end};
        double sum_A = 0;
        bool guarded = true, any = false;
        for (std::size_t head = 0; head < queue.size() && guarded; ++head)
            for (const Incidence& next : circuit.at(queue[head])) {
                const Edge& edge = circuit.edge(next.edge);
                if (edge.wire == id) continue;
                if (is_protective(edge.role)) {
                    // What guards the tap itself lies before it.
                    guarded = guarded && std::find(before.begin(), before.end(), next.edge) == before.end();
                    sum_A += operating_current(input.facts, edge.part).current_A;
                    any = true;
                    continue;
                }
                const double there_m =
                    reached[queue[head]] + (edge.wire ? input.harness.wire(edge.wire).length.hi : 0);
                if ((edge.role != EdgeRole::joint && !edge.wire) || there_m > allowed_m ||
                    next.other == other) {
                    guarded = false;
                    break;
                }
                if (reached.emplace(next.other, there_m).second) queue.push_back(next.other);
            }
        if (guarded && any) return sum_A;
    }
    return std::nullopt;
}

bool is_short_tap(const RuleInput& input, WireId id) {
    return short_tap_A(input, id).has_value();
}

bool accepted_alone(const RuleInput& input, std::string_view rule, WireId wire) {
    const auto& all = input.harness.acceptances;
    return std::any_of(all.begin(), all.end(), [&](const Acceptance& acceptance) {
        return acceptance.wire == wire && acceptance.rule == rule;
    });
}

std::string amps(double value) {
    return to_text(value, Dimension::current);
}
std::string volts(double value) {
    return to_text(value, Dimension::voltage);
}

bool contradicts(const RuleInput& input, ModeId mode) {
    return std::any_of(input.points.begin(), input.points.end(), [&](const OperatingPoint& point) {
        return point.mode == mode && std::any_of(point.contradictions.begin(), point.contradictions.end(),
                                                 [](const auto& what) { return what.voids_the_mode(); });
    });
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

void witnessed(const RuleInput& input, Finding& finding, const OperatingPoint& point, EdgeId edge) {
    finding.mode = point.mode;
    finding.corner = point.corner;
    finding.witness = current_path(input.circuit, point, edge);
}

namespace {

bool leads_on(EdgeRole role) {
    return is_conductor(role) || role == EdgeRole::diode;
}

// Full voltage of a source edge, V; 0 for other edges and where it is not known.
double full_voltage_V(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::emf) {
        const auto section = pack_section(input.circuit, input.facts, edge, Corner::run_full);
        if (section) return section->voltage_V;
        const auto whole = pack_voltage(input.facts, edge.part);
        return whole ? whole->hi : 0;
    }
    if (edge.role == EdgeRole::charger || edge.role == EdgeRole::converter_output) {
        const auto output = input.facts.quantity(edge.part, "output"_attr);
        return output ? output->hi : 0;
    }
    return 0;
}

}  // namespace

Potentials::Potentials(const RuleInput& input) : circuit_(input.circuit) {
    const Circuit& circuit = input.circuit;
    DisjointSets sets(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (leads_on(edge.role)) sets.join(edge.from.index(), edge.to.index());
    zone_.resize(circuit.node_count());
    for (std::size_t i = 0; i < zone_.size(); ++i) zone_[i] = static_cast<std::uint32_t>(sets.find(i));
    above_V_.assign(circuit.node_count(), 0);
    std::vector<std::pair<const Edge*, double>> sources;
    for (const Edge& edge : circuit.edges)
        if (const double volts_V = full_voltage_V(input, edge);
            volts_V > 0 && !sets.same(edge.from.index(), edge.to.index()))
            sources.emplace_back(&edge, volts_V);
    // Strings of sources: as often as there are sources at the most, so that a ring of them ends too.
    for (std::size_t pass = 0; pass < sources.size(); ++pass) {
        bool changed = false;
        for (const auto& [edge, volts_V] : sources) {
            const double reached = above_V_[zone_[edge->from.index()]] + volts_V;
            if (reached <= above_V_[zone_[edge->to.index()]] + 1e-9) continue;
            above_V_[zone_[edge->to.index()]] = reached;
            changed = true;
        }
        if (!changed) break;
    }
    top_V_ = above_V_;
    for (std::size_t pass = 0; pass < sources.size(); ++pass) {
        bool changed = false;
        for (const auto& [edge, volts_V] : sources) {
            double& below = top_V_[zone_[edge->from.index()]];
            const double top = top_V_[zone_[edge->to.index()]];
            if (below < top) below = top, changed = true;
        }
        if (!changed) break;
    }
    // What is reached through a resistor alone (precharge, sense leads) can rise to what feeds it.
    for (bool changed = true; changed;) {
        changed = false;
        for (const Edge& edge : circuit.edges) {
            if (edge.role != EdgeRole::resistor) continue;
            const std::uint32_t a = zone_[edge.from.index()], b = zone_[edge.to.index()];
            if ((top_V_[a] > 0) == (top_V_[b] > 0)) continue;
            const auto [fed, dead] = top_V_[a] > 0 ? std::pair(a, b) : std::pair(b, a);
            top_V_[dead] = top_V_[fed];
            above_V_[dead] = above_V_[fed];
            changed = true;
        }
    }
    std::vector<bool> forward(circuit.node_count()), conducts(circuit.edges.size());
    for (std::size_t i = 0; i < forward.size(); ++i) forward[i] = above_V_[zone_[i]] > 0;
    for (std::size_t i = 0; i < conducts.size(); ++i) conducts[i] = leads_on(circuit.edges[i].role);
    const ReturnTree tree(circuit, forward, conducts);
    behind_V_ = tree.collect<double>([&](std::size_t i) { return node_V(tree.loads()[i].feed); },
                                     [](const double& a, const double& b) { return std::max(a, b); });
}

double Potentials::across_when_open_V(EdgeId id) const {
    const Edge& edge = circuit_.edge(id);
    const bool back = above_V_[zone_[edge.from.index()]] <= 0;
    return back ? behind_V_[id.index()] : top_V_[zone_[edge.from.index()]];
}

}  // namespace loomward
