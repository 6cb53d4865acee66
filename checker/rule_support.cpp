#include "checker/rule_support.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/elements.hpp"

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

std::string amps(double value) {
    return to_text(value, Dimension::current);
}
std::string volts(double value) {
    return to_text(value, Dimension::voltage);
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

Potentials::Potentials(const RuleInput& input)
    : node_V_(input.circuit.node_count(), 0),
      island_V_(input.circuit.node_count(), 0),
      island_(input.circuit.island_of_node) {
    std::vector<double> lowest(node_V_.size());
    for (const OperatingPoint& point : input.points) {
        if (!point.usable() || point.corner != Corner::run_full) continue;
        std::fill(lowest.begin(), lowest.end(), std::numeric_limits<double>::infinity());
        for (std::size_t i = 0; i < node_V_.size(); ++i)
            lowest[island_[i]] = std::min(lowest[island_[i]], point.node_V[i]);
        for (std::size_t i = 0; i < node_V_.size(); ++i) {
            node_V_[i] = std::max(node_V_[i], point.node_V[i] - lowest[island_[i]]);
            island_V_[island_[i]] = std::max(island_V_[island_[i]], node_V_[i]);
        }
    }
}

double Potentials::across_when_open_V(const Edge& edge) const {
    const double higher = std::max(node_V(edge.from), node_V(edge.to));
    const double whole = island_V(edge.from);
    return higher < 0.1 * whole ? whole : higher;
}

}  // namespace loomward
