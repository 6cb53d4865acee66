#include "checker/rules/told_ratings.hpp"

#include <algorithm>
#include <limits>
#include <tuple>

namespace loomward::rules {

void add_excess(const RuleInput& input, std::string_view rule, Severity severity, EdgeId id,
                const std::string& says, const Excess& excess, const std::string& limit_name, Passing passing,
                Report& report) {
    const Edge& edge = input.circuit.edge(id);
    Finding finding = finding_about(input, rule, severity, edge.part);
    finding.message = named(input.harness, edge.part) + " " + says;
    finding.beside = flow_text(excess.load) + "; " + limit_name + " " + amps(excess.may_A);
    finding.working = excess_working(input, excess, edge.part, limit_name);
    finding.figures = {{"current", excess.load.current_A, Dimension::current},
                       {"limit", excess.may_A, Dimension::current}};
    finding.source = "rating of the part";
    witnessed(input, finding, *excess.load.at, id);
    finding.help = std::move(passing.help);
    finding.cures = std::move(passing.cures);
    report.add(std::move(finding));
}

void add_level(const RuleInput& input, std::string_view rule, Severity severity, EdgeId id,
               const std::string& says, double current_A, double limit_A, const std::string& limit_name,
               const OperatingPoint& point, Passing passing, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    Finding finding = finding_about(input, rule, severity, edge.part);
    finding.message = named(input.harness, edge.part) + " " + says;
    finding.beside = amps(current_A) + "; " + limit_name + " " + amps(limit_A);
    finding.working = {amps(current_A) + " > " + amps(limit_A) + " (" + limit_name + ")"};
    finding.figures = {{"current", current_A, Dimension::current}, {"limit", limit_A, Dimension::current}};
    finding.source = "rating of the part";
    witnessed(input, finding, point, id);
    finding.help = std::move(passing.help);
    finding.cures = std::move(passing.cures);
    report.add(std::move(finding));
}

Amperes flowing(EdgeId id, int sign) {
    return [id, sign](const OperatingPoint& point) { return std::max(0.0, sign * point.edge_A[id.index()]); };
}

Spell longest_above(const Course& course, EdgeId edge, int sign, double above_A) {
    Spell longest, now;
    bool broken = false;
    for (int round = 0; round < (course.points.front().repeats ? 2 : 1); ++round)
        for (const OperatingPoint& point : course.points) {
            const double now_A = sign * point.edge_A[edge.index()];
            if (now_A < above_A) {
                now = {};
                broken = true;
                continue;
            }
            now.seconds += point.duration_s;
            if (!now.point || now_A > now.peak_A) now.peak_A = now_A, now.point = &point;
            if (now.seconds > longest.seconds) longest = now;
        }
    if (longest.point && !broken) longest.seconds = std::numeric_limits<double>::infinity();
    return longest;
}

bool is_worse(const RuleInput& input, const Spell& now, const Spell& than) {
    if (!now.point || !than.point) return now.point != nullptr;
    const auto rank = [&](const Spell& each) {
        return std::tuple(-each.peak_A, -each.seconds, input.harness.modes[each.point->mode.index()].name);
    };
    return rank(now) < rank(than);
}

}  // namespace loomward::rules
