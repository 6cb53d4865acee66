// Diodes, shunts and the ways of fuse blocks against what they may carry.
#include <cmath>

#include "checker/parts/ratings.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::component_currents {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overloaded-diode", "a diode that carries more than its rated current", "I <= rated current",
     "rating of the part",
     "its rating is taken as it is printed: the heat sink that it asks for is not known",
     "splice X1\nload H9 { 48 V, 2 A, works 30..60 V }\ndiode V9 { 1 A, 100 V, drop 0.8 V }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) V9 (W31 1 mm2, 0.3 m, red) H9 (W32 1 mm2, 1 m, black) Q1.P-",
     "splice X1"},
    {"overloaded-shunt", "a shunt that carries more than its rated current", "I <= rated current",
     "rating of the part", "steady currents and the heat of a course; how far off it then reads is not told",
     "splice X1\nload H9 { 48 V, 2 A, works 30..60 V }\nshunt R9 { 1 A, drop 50 mV }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) R9 (W31 1 mm2, 0.3 m, red) H9 (W32 1 mm2, 1 m, black) Q1.P-",
     "splice X1"},
};

void judge(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, std::string_view rule,
           PartId about, const Rated& rated, const std::string& what, Report& report) {
    const Excess worst = worst_load(
        input.circuit, courses, [&](ModeId) { return std::optional(rated); },
        [id](const OperatingPoint& point) { return std::abs(point.edge_A[id.index()]); });
    if (!worst.over()) return;
    Finding finding = finding_about(input, rule, severity_of(worst), about);
    finding.message = what + " carries more than it may" + (worst.load.stays() ? "" : ", for a time");
    finding.beside = flow_text(worst.load) + "; may carry " + amps(worst.may_A);
    finding.working = excess_working(input, worst, about, "rated");
    finding.figures = {{"current", worst.load.current_A, Dimension::current},
                       {"limit", worst.may_A, Dimension::current}};
    finding.source = "rating of the part";
    witnessed(input, finding, *worst.load.at, id);
    finding.help = "one rated " + amps(std::ceil(worst.load.current_A)) + " or more would carry it";
    finding.cures = {at_least(input.harness, about,
                              rule == "overloaded-contact" ? "way-carries"_attr : "(rated-current)"_attr,
                              worst.load.current_A, Dimension::current)};
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    const Holders holders(input.harness);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (edge.role == EdgeRole::diode || edge.role == EdgeRole::shunt) {
            const auto may =
                current_rating(input.facts, edge, input.facts.ambient(edge.part), Direction::along);
            if (may)
                judge(input, courses, EdgeId(i),
                      edge.role == EdgeRole::diode ? "overloaded-diode" : "overloaded-shunt", edge.part,
                      {may->may_A, edge.role == EdgeRole::diode
                                       ? diode_warm_up()
                                       : contact_warm_up(input.facts, edge.part, may->may_A)},
                      named(input.harness, edge.part), report);
        } else if (edge.role == EdgeRole::fuse) {
            const PartId block = holders.of(edge.part);
            const auto way = block ? input.facts.quantity(block, "way-carries"_attr) : std::nullopt;
            if (way)
                judge(input, courses, EdgeId(i), "overloaded-contact", block,
                      {way->lo, contact_warm_up(input.facts, block, way->lo)},
                      "the way of " + named(input.harness, edge.part) + " in " + named(input.harness, block),
                      report);
        }
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::component_currents
