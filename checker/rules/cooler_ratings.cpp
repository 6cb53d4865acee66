// Switches, contactors, relays, selectors, bars and blocks in a place hotter than their rated current holds
// in.
//
// Their data sheets rate them in the air that their standard calls normal. In hotter air the same current
// brings them beyond what they stand; connectors and fuses say at which temperature they are rated, these
// seldom do.
#include <algorithm>
#include <cmath>

#include "checker/currents/arriving.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::cooler_ratings {
namespace {

using namespace literals;

// IEC 60947-1: normal service air up to 40 degC (6.1.1), terminals 70 K above it at the rated current (Table
// 2, tinned copper); both memory.
constexpr double normal_air_degC = 40, terminal_rise_K = 70;

constexpr RuleInfo infos[] = {
    {"rated-for-cooler-air",
     "a switch, contactor, relay, selector, protector, shunt, bar or block in a place hotter than 40 degC "
     "that carries more "
     "than "
     "its rating is worth there",
     "I <= carries sqrt((110 degC - T)/(110 degC - 40 degC)), T the hottest air of its place in the mode; "
     "I as of overloaded-contact",
     "IEC 60947-1: normal air up to 40 degC, terminals 70 K above it at rated current (memory); base curve "
     "of "
     "IEC 60512-5-2",
     "a warning, since its data sheet may allow more: with highest-ambient at or above that air nothing is "
     "told, "
     "below it overheated-box is; what is above the rating itself is told by overloaded-contact",
     "location bonnet { ambient 0..90 degC }\nload H9 { 48 V, 30 A, acts-as current, works 30..60 V }\n"
     "switch S9 { 80 V dc, carries 40 A, makes 60 A, breaks 40 A at 60 V dc, at bonnet }\n"
     "route F1.out (W30 16 mm2, 0.2 m, red) S9 (W31 16 mm2, 0.2 m, red) H9 (W32 16 mm2, 0.2 m, black) Q1.P-\n"
     "mode heat { others at rest, S9 closed }\nsplice X1",
     "splice X1"},
};

double worth(double ambient_degC) {
    const double limit_degC = normal_air_degC + terminal_rise_K;
    if (ambient_degC <= normal_air_degC) return 1;
    return std::sqrt(std::max(0.0, limit_degC - ambient_degC) / terminal_rise_K);
}

// Whether its data sheet is said to speak of this air: then its rating holds there, or overheated-box tells.
bool says_its_air(const RuleInput& input, PartId part) {
    return input.facts.quantity(part, "highest-ambient"_attr).has_value();
}

// One way through a part, or one point of it.
struct Judged {
    PartId part;
    double carries_A = 0;
    Excess worst;
    Amperes current;
    EdgeId edge;  // invalid: a point
};

Excess worst_of(const RuleInput& input, const std::vector<Course>& courses, PartId part, double carries_A,
                const Amperes& current) {
    return worst_load(
        input.circuit, courses,
        [&](ModeId mode) -> std::optional<Rated> {
            const double share = worth(input.facts.ambient(part, mode).hi);
            if (share >= 1) return std::nullopt;
            return Rated{carries_A * share, contact_warm_up(input.facts, part, carries_A)};
        },
        current);
}

// What its rated current is called.
Attr rating_of(const RuleInput& input, PartId part) {
    const Kind kind = input.harness.part(part).kind;
    return kind == Kind::protector || kind == Kind::shunt ? "(rated-current)"_attr : "carries"_attr;
}

void tell(const RuleInput& input, const Judged& judged, double passes_A, Report& report) {
    const Excess& worst = judged.worst;
    const double ambient_degC = input.facts.ambient(judged.part, worst.course.mode).hi;
    Finding finding = finding_about(input, "rated-for-cooler-air", Severity::warning, judged.part);
    finding.message =
        named(input.harness, judged.part) + " carries more than its rating is worth in air that hot";
    finding.beside = flow_text(worst.load) + " in air of " + degrees(ambient_degC) + "; its " +
                     amps(judged.carries_A) + " holds up to " + degrees(normal_air_degC);
    finding.working = {amps(worst.load.current_A) + " > " + amps(worst.may_A),
                       amps(worst.may_A) + " = " + amps(judged.carries_A) + " x sqrt((" +
                           degrees(normal_air_degC + terminal_rise_K) + " - " + degrees(ambient_degC) +
                           ")/(" + degrees(normal_air_degC + terminal_rise_K) + " - " +
                           degrees(normal_air_degC) + "))"};
    finding.figures = {{"current", worst.load.current_A, Dimension::current},
                       {"limit", worst.may_A, Dimension::current},
                       {"ambient", ambient_degC, Dimension::temperature}};
    finding.source = "IEC 60947-1 (memory); IEC 60512-5-2, base curve";
    finding.mode = worst.course.mode;
    finding.corner = worst.course.corner;
    if (judged.edge) witnessed(input, finding, *worst.load.at, judged.edge);
    finding.help = (passes_A > 0 ? "one rated " + amps(rounded_up(passes_A)) + " or more, a cooler place, or "
                                 : std::string("a cooler place, or ")) +
                   "the highest-ambient of its data sheet, if that gives the full current there";
    if (passes_A > 0)
        finding.cures = {at_least(input.harness, judged.part, rating_of(input, judged.part), passes_A,
                                  Dimension::current)};
    report.add(std::move(finding));
}

bool hot_somewhere(const RuleInput& input, PartId part) {
    if (input.facts.ambient(part).hi > normal_air_degC) return true;
    for (std::size_t i = 0; i < input.harness.modes.size(); ++i)
        if (input.facts.ambient(part, ModeId(i)).hi > normal_air_degC) return true;
    return false;
}

bool is_rated_so(const Edge& edge) {
    return edge.role == EdgeRole::switching || edge.role == EdgeRole::protector ||
           edge.role == EdgeRole::shunt;
}

// Keeps the way or point that is worst.
void consider(const RuleInput& input, const std::vector<Course>& courses, PartId part, const Amperes& current,
              EdgeId edge, std::vector<Judged>& judged) {
    const auto carries = input.facts.quantity(part, rating_of(input, part));
    if (!carries || says_its_air(input, part)) return;
    Judged now{part, carries->lo, worst_of(input, courses, part, carries->lo, current), current, edge};
    // Above the rating itself overloaded-contact speaks.
    if (!now.worst.over() || above(now.worst.load.current_A, carries->lo)) return;
    if (judged.empty() || judged.back().part != part)
        judged.push_back(std::move(now));
    else if (now.worst.ratio() > judged.back().worst.ratio() * (1 + 1e-9))
        judged.back() = std::move(now);
}

void consider_points(const RuleInput& input, const std::vector<Course>& courses, PartId id,
                     std::vector<Judged>& judged) {
    const Part& part = input.harness.part(id);
    NodeId before;
    for (std::size_t i = 0; i < part.terminals.count; ++i) {
        const NodeId node = input.circuit.node(TerminalId(part.terminals.first + i));
        if (node == before) continue;
        before = node;
        const Amperes arrives = [&input, node](const OperatingPoint& point) {
            return arrives_A(input.circuit, point, node);
        };
        consider(input, courses, id, arrives, {}, judged);
    }
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    std::vector<Judged> judged;
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const PartId id(i);
        if (!hot_somewhere(input, id)) continue;
        for (const EdgeId edge : input.circuit.edges_of_part[i]) {
            if (!is_rated_so(input.circuit.edge(edge))) continue;
            const Amperes through = [edge](const OperatingPoint& point) {
                return std::abs(point.edge_A[edge.index()]);
            };
            consider(input, courses, id, through, edge, judged);
        }
        if (is_point(input.harness.parts[i].kind)) consider_points(input, courses, id, judged);
    }
    for (const Judged& each : judged) {
        const bool any_passes = each.worst.may_A > 0;
        const auto asked = [&](double carries_A) {
            return carries_A * worst_of(input, courses, each.part, carries_A, each.current).ratio();
        };
        tell(input, each, any_passes ? least_that_passes(each.carries_A, asked) : 0, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::cooler_ratings
