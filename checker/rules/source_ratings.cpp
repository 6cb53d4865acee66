// Packs, battery management, fuses, converters and motors against what they may give or pass.
#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/currents/converter_limits.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/sources.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overdrawn-pack",
     "a pack that gives or takes more than it may: sustained above its discharge or charge current, or a "
     "level above it that is larger or longer than its peak",
     "I_sustained <= discharge; I_level <= peak for no longer than its time; I_charge <= charge",
     "rating of the pack", "pulses are judged one by one; the rest between them is not counted",
     "discharge 20 A, charge 15 A", "discharge 60 A, charge 15 A"},
    {"overdrawn-bms", "a battery management that passes more than its rating, or that a mode makes trip",
     "I_sustained <= discharge; no level at or above a trip current for its time or longer",
     "rating of the part", "the tolerance of the trip points is not known; they are taken as exact",
     "discharge 20 A, charge 20 A, trips 120 A", "discharge 70 A, charge 20 A, trips 120 A"},
    {"overloaded-fuse",
     "a fuse or breaker that carries more than its rated current at the hottest ambient of its place, or "
     "for hours more than the policy allows",
     "I_sustained <= rated; I_sustained <= continuous-fuse-load x rated; rated = rated current x (1 - 0.2 "
     "%/K x (ambient - rated-at)) for a fuse above the temperature it is rated at",
     "rated current of the part; NFPA 70 210.20(A): 80 % for continuous load; military fuse practice: 0.2 "
     "% a kelvin of the fuse body",
     "breakers are not re-rated; a fuse in the cold is not given more than its rated current; that it "
     "warms itself and its neighbours beyond the ambient is not counted",
     "fuse F3 { 1 A", "fuse F3 { 5 A"},
    {"overloaded-converter", "a converter or charger at its current limit, where its voltage gives way",
     "I_output < limit", "rating of the part", "only limits that are reached in a solved mode",
     "output 12 V 1 A", "output 12 V 5 A"},
    {"overloaded-motor", "a motor whose leads are fed more, over a mode, than it may carry",
     "I_sustained <= carries", "rating of the part", "only where the mode states the phase current",
     "motor M1 { leads 3, carries 40 A }", "motor M1 { leads 3, carries 90 A }"},
};

void add(Report& report, const RuleInput& input, std::string_view rule, Severity severity, EdgeId id,
         const std::string& says, double current_A, double limit_A, const std::string& limit_name,
         const OperatingPoint& point, std::string help) {
    const Edge& edge = input.circuit.edge(id);
    Finding finding = finding_about(input, rule, severity, edge.part);
    finding.message = named(input.harness, edge.part) + " " + says;
    finding.beside = amps(current_A) + "; " + limit_name + " " + amps(limit_A);
    finding.working = {amps(current_A) + " > " + amps(limit_A) + " (" + limit_name + ")"};
    finding.figures = {{"current", current_A, Dimension::current}, {"limit", limit_A, Dimension::current}};
    finding.source = "rating of the part";
    witnessed(input, finding, point, id);
    finding.help = std::move(help);
    report.add(std::move(finding));
}

// The longest unbroken stretch of a course at or above a current, s, and its largest current.
struct Stretch {
    double seconds = 0;
    double peak_A = 0;
    const OperatingPoint* point = nullptr;
};
Stretch stretch_above(const Course& course, EdgeId edge, int sign, double above_A) {
    Stretch longest, now;
    for (const OperatingPoint& point : course.points) {
        const double amps_now = sign * point.edge_A[edge.index()];
        if (amps_now < above_A) {
            now = {};
            continue;
        }
        now.seconds += point.duration_s;
        if (amps_now > now.peak_A) now.peak_A = amps_now, now.point = &point;
        if (now.seconds > longest.seconds) longest = now;
    }
    return longest;
}

void judge_pack(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const auto discharge = input.facts.quantity(edge.part, "discharge"_attr);
    const auto charge = input.facts.quantity(edge.part, "charge"_attr);
    const auto peak = input.facts.quantity(edge.part, "peak"_attr, 0);
    const auto peak_time = input.facts.quantity(edge.part, "peak"_attr, 1);
    const auto worst = [&](int sign, const Quantity& limit, std::string_view limit_name) {
        std::optional<Carried> most;
        for (const Course& course : courses) {
            const Carried now = carried(course, id, sign);
            if (!most || now.sustained_A > most->sustained_A) most = now;
        }
        if (!most || most->sustained_A <= limit.lo * 1.0001) return false;
        add(report, input, "overdrawn-pack", Severity::error, id,
            sign > 0 ? "gives more than it may" : "is charged with more than it may take", most->sustained_A,
            limit.lo, std::string(limit_name), *most->at_peak,
            "a pack with " + std::string(limit_name) + " " + amps(std::ceil(most->sustained_A)) +
                " or more would pass");
        return true;
    };
    if (discharge && worst(1, *discharge, "discharge")) return;
    if (charge && worst(-1, *charge, "charge")) return;
    if (!discharge) return;
    for (const Course& course : courses) {
        const Stretch above = stretch_above(course, id, 1, discharge->lo * 1.0001);
        const double may_A = peak ? peak->lo : discharge->lo;
        const double may_s = peak_time ? peak_time->lo : 0;
        if (above.seconds <= 0 || (above.peak_A <= may_A && above.seconds <= may_s)) continue;
        const std::string lasts = " for " + to_text(above.seconds, Dimension::time);
        add(report, input, "overdrawn-pack", Severity::error, id,
            peak ? "gives more than its peak allows" : "gives more than it may, for a time", above.peak_A,
            above.peak_A > may_A ? may_A : discharge->lo,
            peak ? "peak " + amps(peak->lo) + " for " + to_text(may_s, Dimension::time) + ", else"
                 : "discharge",
            *above.point,
            "a level of " + amps(discharge->lo) + ", or one of " + amps(may_A) + " that ends within " +
                to_text(may_s, Dimension::time) + ", would pass; this one lasts" + lasts);
        return;
    }
}

void judge_bms(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const auto worst = worst_course(courses, id);
    // Low side: discharge flows from the port (P-) to the battery (B-); high side from B+ to P+.
    const int discharge_sign = input.harness.terminal(edge.from_terminal).role == "B-" ? -1 : 1;
    const Part& part = input.harness.part(edge.part);
    for (const Course& course : courses)
        for (const Attribute& attribute : input.harness.attributes_of(part.attributes)) {
            const bool charging = attribute.name == "charge-trips"_attr;
            if (!charging && attribute.name != "trips"_attr) continue;
            const auto values = input.harness.values_of(attribute);
            if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
            const Stretch above =
                stretch_above(course, id, charging ? -discharge_sign : discharge_sign, values[0].lo);
            if (above.seconds < values[1].lo || !above.point) continue;
            add(report, input, "overdrawn-bms", Severity::error, id, "trips in normal use", above.peak_A,
                values[0].lo, "trips after " + to_text(values[1].lo, Dimension::time) + " at", *above.point,
                "a lower setting, or a trip point above " + amps(above.peak_A));
            return;
        }
    const auto discharge = input.facts.quantity(edge.part, edge.way == 1 ? "charge"_attr : "discharge"_attr);
    if (worst && discharge && worst->carried.sustained_A > discharge->lo * 1.0001)
        add(report, input, "overdrawn-bms", Severity::error, id, "passes more than it may",
            worst->carried.sustained_A, discharge->lo, edge.way == 1 ? "charge" : "discharge",
            *worst->carried.at_peak,
            "one rated " + amps(std::ceil(worst->carried.sustained_A)) + " or more would pass it");
}

// The course in which it is nearest to what it may carry at the hottest ambient of its place then.
struct FuseLoad {
    Carried carried;
    RatedAt rated;
};
std::optional<FuseLoad> worst_fuse_load(const RuleInput& input, const std::vector<Course>& courses,
                                        EdgeId id) {
    std::optional<FuseLoad> worst;
    for (const Course& course : courses) {
        const PartId part = input.circuit.edge(id).part;
        const auto rated = rated_at(input.facts, part, input.facts.ambient(part, course.mode).hi);
        if (!rated || rated->current_A <= 0) return std::nullopt;
        const Carried now = carried(course, id);
        if (!worst ||
            now.sustained_A / rated->current_A > worst->carried.sustained_A / worst->rated.current_A * 1.0001)
            worst = FuseLoad{now, *rated};
    }
    return worst;
}

void judge_fuse(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const auto worst = worst_fuse_load(input, courses, id);
    if (!worst) return;
    const PartId part = input.circuit.edge(id).part;
    const RatedAt& rated = worst->rated;
    const double share = input.facts.policy("continuous-fuse-load"_attr).lo / 100;
    const double now_A = worst->carried.sustained_A;
    if (now_A <= rated.current_A * share) return;
    const bool over = now_A > rated.current_A;
    const double may_A = over ? rated.current_A : rated.current_A * share;
    const std::string at =
        rated.lowered() ? " at " + to_text(rated.ambient_degC, Dimension::temperature) : std::string();
    Finding finding =
        finding_about(input, "overloaded-fuse", over ? Severity::error : Severity::warning, part);
    finding.message = named(input.harness, part) + (over ? " carries more than its rated current" + at
                                                         : " carries more for hours than a fuse should");
    const std::string limit = (over ? "rated" : "continuous-fuse-load allows") + at;
    finding.beside = amps(now_A) + "; " + limit + " " + amps(may_A);
    finding.working = {amps(now_A) + " > " + amps(may_A) + " (" + limit + ")"};
    if (!over)
        finding.working.push_back(amps(may_A) + " = " + to_text(share * 100, Dimension::none) + " % x " +
                                  amps(rated.current_A));
    if (rated.lowered()) finding.working.push_back(rated.working());
    finding.figures = {{"current", now_A, Dimension::current}, {"limit", may_A, Dimension::current}};
    finding.source = rated.lowered() ? "rating of the part; " + cite(SourceId::fuse_temperature)
                                     : std::string("rating of the part");
    witnessed(input, finding, *worst->carried.at_peak, id);
    const auto& ratings = standard_ratings_A();
    const auto larger =
        std::lower_bound(ratings.begin(), ratings.end(), now_A / share * rated.stated_A / rated.current_A);
    if (larger != ratings.end())
        finding.help =
            "a rated current of " + amps(*larger) + " would do, if the wires behind it may carry that";
    report.add(std::move(finding));
}

void judge_converter(const RuleInput& input, const ConverterLimits& limits, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    // A mode whose loads could not be fed counts too: this may be why.
    for (const OperatingPoint& point : input.points) {
        if (!limits.gives_way(point, id)) continue;
        const double output_V = point.node_V[edge.to.index()] - point.node_V[edge.from.index()];
        add(report, input, "overloaded-converter", Severity::error, id,
            "is at its current limit, and its output falls to " + volts(output_V), point.edge_A[id.index()],
            input.facts.quantity(edge.part, "output"_attr, 1)->hi, "limit", point,
            "a larger converter, or less to feed");
        return;
    }
}

void judge_motor(const RuleInput& input, const std::vector<Course>& courses, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    const auto carries = input.facts.quantity(id, "carries"_attr);
    if (!carries || part.terminals.count == 0) return;
    for (const Incidence& lead : input.circuit.at(input.circuit.node(TerminalId(part.terminals.first)))) {
        const auto worst = worst_course(courses, lead.edge);
        if (!worst || worst->carried.sustained_A <= carries->lo) continue;
        Finding finding = finding_about(input, "overloaded-motor", Severity::error, id);
        finding.message = named(input.harness, id) + " is fed more than it may carry";
        finding.beside = amps(worst->carried.sustained_A) + "; may carry " + amps(carries->lo);
        finding.working = {amps(worst->carried.sustained_A) + " > " + amps(carries->lo) + " (rated)"};
        finding.figures = {{"current", worst->carried.sustained_A, Dimension::current},
                           {"limit", carries->lo, Dimension::current}};
        finding.source = "rating of the part";
        finding.mode = worst->course.mode;
        finding.help = "a lower phase-limit, or shorter pulls";
        report.add(std::move(finding));
        return;
    }
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    const ConverterLimits limits(input);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) switch (input.circuit.edges[i].role) {
            case EdgeRole::emf:
                judge_pack(input, courses, EdgeId(i), report);
                break;
            case EdgeRole::trip:
                judge_bms(input, courses, EdgeId(i), report);
                break;
            case EdgeRole::fuse:
            case EdgeRole::breaker:
                judge_fuse(input, courses, EdgeId(i), report);
                break;
            case EdgeRole::converter_output:
                judge_converter(input, limits, EdgeId(i), report);
                break;
            default:
                break;
        }
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (input.harness.parts[i].kind == Kind::motor) judge_motor(input, courses, PartId(i), report);
}

}  // namespace

extern const RuleFamily source_ratings;
const RuleFamily source_ratings{infos, run};

}  // namespace loomward::rules
