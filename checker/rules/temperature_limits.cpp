// Currents that packs, battery management and controllers give or pass in the mild, but not in the heat or
// the frost of their place.
#include <algorithm>
#include <cmath>

#include "checker/parts/ratings.hpp"
#include "checker/parts/temperature_limits.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::temperature_limits {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"limit-at-temperature",
     "a pack, battery management or controller that a mode asks for a current it may give in the mild, but "
     "not at the coldest or hottest ambient of its place: the ride that cuts out on the hill on a hot day",
     "I <= discharge-at, charge-at, supply-at, straight between the stated temperatures, at every ambient "
     "of the place in the mode",
     "rating of the part",
     "the ambient counts, not how warm the part makes itself; beyond the stated temperatures the limit "
     "stays as at the last one; a pack may go above for as long as its peak lasts (nobody states how that "
     "shrinks), a controller holds its current back by itself; what is above the plain rating is told by "
     "overdrawn-pack and overdrawn-bms",
     "discharge 60 A, charge 15 A, discharge-at 25 degC 60 A, discharge-at 45 degC 20 A",
     "discharge 60 A, charge 15 A"},
};

// One limit of a part, and which way its current flows then.
struct Guarded {
    EdgeId edge;
    Attr at;                        // "discharge-at"
    int sign = 1;                   // of the edge's current that counts
    std::optional<double> plain_A;  // above it another rule speaks
    double may_s = 0;               // so long it may be above
    std::string_view does;          // "gives"
};

// Packs and electronics warm up as slowly as that; what is above for long is above for this.
constexpr double cold_or_hot_part_s = 600;

struct Over {
    double current_A = 0;
    double lasts_s = 0;      // without a break
    bool sustained = false;  // for good, or on the average of a course that repeats
    const OperatingPoint* point = nullptr;
    TemperatureLimit limit;
};

// The longest stretch of a course above the limit, or all of it where what it carries for long is above.
std::optional<Over> excess_in(const Course& course, const Guarded& guarded, const TemperatureLimit& limit) {
    const double above_A = limit.current_A * 1.0001 + 1e-9;
    const CourseLoad all = load_of(course, cold_or_hot_part_s, guarded.edge, guarded.sign);
    if (all.current_A > above_A) return Over{all.current_A, all.lasts_s, true, all.at, limit};
    Over longest{0, 0, false, nullptr, limit}, now = longest;
    for (const OperatingPoint& point : course.points) {
        const double now_A = guarded.sign * point.edge_A[guarded.edge.index()];
        if (now_A <= above_A) {
            now = {0, 0, false, nullptr, limit};
            continue;
        }
        now.lasts_s += point.duration_s;
        if (now_A > now.current_A) now.current_A = now_A, now.point = &point;
        if (now.lasts_s > longest.lasts_s) longest = now;
    }
    if (!longest.point || longest.lasts_s <= guarded.may_s) return std::nullopt;
    return longest;
}

void report_excess(const RuleInput& input, const Guarded& guarded, const Over& excess, Severity severity,
                   Report& report) {
    const PartId part = input.circuit.edge(guarded.edge).part;
    const std::string at = to_text(excess.limit.ambient_degC, Dimension::temperature);
    const std::string name(info(guarded.at).name);
    Finding finding = finding_about(input, "limit-at-temperature", severity, part);
    finding.message =
        named(input.harness, part) + " " + std::string(guarded.does) + " more than it may at " + at;
    finding.beside = amps(excess.current_A) + "; " + name + " " + at + " " + amps(excess.limit.current_A);
    finding.working = {
        amps(excess.current_A) + " > " + amps(excess.limit.current_A) + " (" + name + " " + at + ")",
        excess.limit.working};
    if (!excess.sustained)
        finding.working.push_back("lasts " + to_text(excess.lasts_s, Dimension::time) +
                                  (guarded.may_s > 0
                                       ? ", its peak may " + to_text(guarded.may_s, Dimension::time)
                                       : std::string(" at a time")));
    finding.figures = {{"current", excess.current_A, Dimension::current},
                       {"limit", excess.limit.current_A, Dimension::current},
                       {"ambient", excess.limit.ambient_degC, Dimension::temperature}};
    finding.source = "rating of the part";
    witnessed(input, finding, *excess.point, guarded.edge);
    finding.help = amps(std::floor(excess.limit.current_A)) + " or less would pass at " + at +
                   "; so would a place that stays milder";
    report.add(std::move(finding));
}

// Whether the rule of its plain rating surely speaks: at the slow end of what warms there.
bool told_of_plain(const RuleInput& input, const Guarded& guarded, const Course& course) {
    if (!guarded.plain_A) return false;
    const Edge& edge = input.circuit.edge(guarded.edge);
    const WarmUp warm_up = edge.role == EdgeRole::emf && guarded.sign > 0
                               ? pack_warm_up(input.facts, edge.part, *guarded.plain_A)
                               : electronics_warm_up();
    const double slow_s = std::max(warm_up.slow_s, warm_up.quick_s);
    return load_of(course, slow_s, guarded.edge, guarded.sign).current_A > *guarded.plain_A * 1.0001;
}

void judge(const RuleInput& input, const std::vector<Course>& courses, const Guarded& guarded,
           Report& report) {
    const PartId part = input.circuit.edge(guarded.edge).part;
    std::optional<Over> worst;
    const bool pack = input.circuit.edge(guarded.edge).role == EdgeRole::emf;
    for (const Course& course : courses) {
        const auto limit =
            temperature_limit(input.facts, part, guarded.at, input.facts.ambient(part, course.mode));
        if (!limit) return;
        const auto excess = excess_in(course, guarded, *limit);
        // What is above the plain rating for certain is told of that.
        if (!excess || told_of_plain(input, guarded, course)) continue;
        const double over_A = excess->current_A - limit->current_A;
        const auto worse = [&] {
            if (excess->sustained != worst->sustained) return excess->sustained;
            return over_A > (worst->current_A - worst->limit.current_A) * 1.0001;
        };
        if (!worst || worse()) worst = excess;
    }
    if (!worst) return;
    // What a part holds back or cuts off by itself for a while is a nuisance; what it gives for long it must
    // not.
    const bool controller = input.circuit.edge(guarded.edge).role == EdgeRole::controller;
    const bool error = !controller && (pack || worst->sustained);
    report_excess(input, guarded, *worst, error ? Severity::error : Severity::warning, report);
}

std::optional<double> plain(const RuleInput& input, PartId part, Attr name) {
    const auto stated = input.facts.quantity(part, name);
    return stated ? std::optional(stated->lo) : std::nullopt;
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        const EdgeId id(i);
        if (edge.role == EdgeRole::emf) {
            const auto peak_s = input.facts.quantity(edge.part, "peak"_attr, 1);
            judge(input, courses,
                  {id, "discharge-at"_attr, 1, plain(input, edge.part, "discharge"_attr),
                   peak_s ? peak_s->lo : 0, "gives"},
                  report);
            judge(input, courses,
                  {id, "charge-at"_attr, -1, plain(input, edge.part, "charge"_attr), 0, "is charged with"},
                  report);
        } else if (edge.role == EdgeRole::trip) {
            const int out = discharge_sign(input.facts, edge);
            judge(input, courses,
                  {id, "discharge-at"_attr, out, plain(input, edge.part, "discharge"_attr), 0, "passes"},
                  report);
            judge(
                input, courses,
                {id, "charge-at"_attr, -out, plain(input, edge.part, "charge"_attr), 0, "passes to the pack"},
                report);
        } else if (edge.role == EdgeRole::controller) {
            judge(input, courses, {id, "supply-at"_attr, 1, std::nullopt, 0, "is asked to take"}, report);
        }
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::temperature_limits
