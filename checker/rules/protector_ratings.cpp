// Protectors against what they may pass, and against what makes them trip in normal use; fuses and breakers
// whose own points and rated current contradict each other.
#include <algorithm>
#include <cmath>

#include "checker/rules/rule_support.hpp"
#include "checker/rules/told_ratings.hpp"

namespace loomward::rules::protector_ratings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overloaded-protector", "a protector that passes more than its rated current, or that a mode makes trip",
     "I <= rated, I the steady current that warms as the course of a mode does; no level at or above a trip "
     "current for its time or longer, whichever way it flows",
     "rating of the part",
     "the tolerance of the trip points is not known; they are taken as exact; time constant 1 min to 5 min "
     "(common practice, no source)",
     "splice X1\nprotector F9 { 1 A, 80 V dc, trips 5 A after 1 s, breaks 5 kA at 80 V dc, resistance 5 "
     "mohm, "
     "reset hand }\n"
     "load H9 { 48 V, 2 A, works 30..60 V }\n"
     "route F1.out (direct) F9 (W31 1 mm2, 0.5 m, red) H9 (W32 1 mm2, 0.5 m, black) Q1.P-",
     "splice X1"},
    {"opens-below-rating",
     "a fuse or breaker that by its own points opens at its rated current or below it: one of the two is not "
     "what its data sheet says",
     "I of a point that it opens at > rated current",
     "IEC 60269-1 5.6.2 (memory): no operation within the "
     "conventional time at the non-fusing current, which is above the rated one",
     "a point without a time is not looked at; what flows is judged by nuisance-trip",
     "fuse F7 { 3 A, 80 V dc, breaks 2.5 kA at 80 V dc, point 2 A 10..60 s, point 30 A 10..100 ms }",
     "fuse F7 { 3 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }"},
};

bool judge_trips(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const Part& part = input.harness.part(input.circuit.edge(id).part);
    Spell worst;
    std::string limit_name;
    double limit_A = 0;
    for (const Attribute& attribute : input.harness.attributes_of(part.attributes)) {
        if (attribute.name != "trips"_attr) continue;
        const auto values = input.harness.values_of(attribute);
        if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
        for (const Course& course : courses)
            for (const int sign : {1, -1}) {
                const Spell now = longest_above(course, id, sign, values[0].lo);
                if (!now.point || now.seconds < values[1].lo || !is_worse(input, now, worst)) continue;
                worst = now;
                limit_A = values[0].lo;
                limit_name = "trips after " + to_text(values[1].lo, Dimension::time) + " at";
            }
    }
    if (!worst.point) return false;
    add_level(input, "overloaded-protector", Severity::error, id, "trips in normal use", worst.peak_A,
              limit_A, limit_name, *worst.point, {"a trip point above " + amps(worst.peak_A)}, report);
    return true;
}

void judge(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    if (judge_trips(input, courses, id, report)) return;
    const auto rated = input.facts.quantity(input.circuit.edge(id).part, "(rated-current)"_attr);
    if (!rated) return;
    const Rated may{rated->lo, electronics_warm_up()};
    const Excess worst = worst_load(
        input.circuit, courses, [&](ModeId) { return std::optional(may); },
        [id](const OperatingPoint& point) { return std::abs(point.edge_A[id.index()]); });
    if (!worst.over()) return;
    add_excess(input, "overloaded-protector", severity_of(worst), id, "passes more than it may", worst,
               "rated",
               {"one rated " + amps(std::ceil(worst.load.current_A)) + " or more would pass it",
                {at_least(input.harness, input.circuit.edge(id).part, "(rated-current)"_attr,
                          worst.load.current_A, Dimension::current)}},
               report);
}

void judge_points(const RuleInput& input, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    const auto rated = input.facts.quantity(id, "(rated-current)"_attr);
    if (!rated || (part.kind != Kind::fuse && part.kind != Kind::breaker)) return;
    const Attribute* lowest = nullptr;
    for (const Attribute& attribute : input.harness.attributes_of(part.attributes)) {
        if (attribute.name != "point"_attr) continue;
        const auto values = input.harness.values_of(attribute);
        if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
        if (values[0].hi > rated->lo) continue;
        if (!lowest || values[0].hi < input.harness.values_of(*lowest)[0].hi) lowest = &attribute;
    }
    if (!lowest) return;
    const auto values = input.harness.values_of(*lowest);
    Finding finding = finding_about(input, "opens-below-rating", Severity::warning, id);
    finding.message = named(input.harness, id) + " opens below its rated current by its own points";
    finding.beside = "open within " + to_text(values[1].hi, Dimension::time) + " at " + amps(values[0].hi) +
                     "; rated " + amps(rated->lo);
    finding.working = {amps(values[0].hi) + " is not above " + amps(rated->lo) + " (rated current)"};
    finding.figures = {{"current", values[0].hi, Dimension::current},
                       {"rated", rated->lo, Dimension::current}};
    finding.source = "IEC 60269-1 5.6.2 (memory)";
    finding.help = "look at its data sheet again: the rated current, or the point, is another one";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) judge_points(input, PartId(i), report);
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::protector) judge(input, courses, EdgeId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::protector_ratings
