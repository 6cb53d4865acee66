#include "checker/rules/rule_support.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

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

bool is_short_tap(const RuleInput& input, WireId id) {
    const Wire& wire = input.harness.wire(id);
    if (wire.length.hi > input.facts.policy("unprotected-length"_attr).hi * 1.0001) return false;
    for (const TerminalId end : {wire.from, wire.to}) {
        const Kind kind = input.harness.part(input.harness.terminal(end).part).kind;
        if (kind == Kind::fuse || kind == Kind::breaker) return true;
    }
    return false;
}

std::string amps(double value) {
    return to_text(value, Dimension::current);
}
std::string volts(double value) {
    return to_text(value, Dimension::voltage);
}

bool contradicts(const RuleInput& input, ModeId mode) {
    return std::any_of(input.points.begin(), input.points.end(), [&](const OperatingPoint& point) {
        return point.mode == mode && !point.contradictions.empty();
    });
}

namespace {

template <class Current>
Carried carried_by(const Course& course, Current current) {
    Carried sum;
    double squares = 0, seconds = 0;
    for (const OperatingPoint& point : course.points) {
        const double now_A = current(point);
        if (!sum.at_peak || now_A > sum.peak_A) {
            sum.peak_A = now_A;
            sum.peak_s = point.duration_s;
            sum.at_peak = &point;
        } else if (now_A >= sum.peak_A * 0.999) {
            sum.peak_s += point.duration_s;
        }
        if (std::isfinite(point.duration_s)) {
            squares += now_A * now_A * point.duration_s;
            seconds += point.duration_s;
        }
    }
    const OperatingPoint& last = course.points.back();
    sum.sustained_A =
        std::isfinite(last.duration_s) && seconds > 0 ? std::sqrt(squares / seconds) : current(last);
    return sum;
}

}  // namespace

Carried carried(const Course& course, EdgeId edge) {
    return carried_by(course,
                      [&](const OperatingPoint& point) { return std::abs(point.edge_A[edge.index()]); });
}
Carried carried(const Course& course, EdgeId edge, int sign) {
    return carried_by(course, [&](const OperatingPoint& point) {
        return std::max(0.0, sign * point.edge_A[edge.index()]);
    });
}

std::optional<WorstCourse> worst_course(const std::vector<Course>& courses, EdgeId edge) {
    std::optional<WorstCourse> worst;
    for (const Course& course : courses) {
        const Carried now = carried(course, edge);
        if (!worst || now.sustained_A > worst->carried.sustained_A * 1.0001 ||
            (now.sustained_A > worst->carried.sustained_A * 0.9999 && now.peak_A > worst->carried.peak_A))
            worst = WorstCourse{course, now};
    }
    return worst;
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
