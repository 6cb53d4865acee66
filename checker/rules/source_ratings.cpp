// Packs, battery management, fuses, converters and motors against what they may give or pass.
#include <algorithm>
#include <cmath>

#include "checker/currents/converter_limits.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/rules/told_ratings.hpp"
#include "checker/tables/conductors.hpp"
#include "checker/tables/protection.hpp"
#include "checker/tables/sources.hpp"

namespace loomward::rules::source_ratings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overdrawn-pack",
     "a pack that gives or takes more than it may: for long above its discharge or charge current, or a "
     "level above it that is larger or longer than its peak",
     "I <= discharge, I_charge <= charge, I the steady current that warms as the course of a mode does; "
     "I_level <= peak for no longer than its time; a level above charge is a warning",
     "rating of the pack; time constant by its peak: (Ip/I)^2 (1 - exp(-tp/tau)) = 1",
     "without a peak the time constant is 1 min to 10 min (common practice, no source): an error where it is "
     "too much at both, else a warning",
     "discharge 20 A, charge 15 A", "discharge 60 A, charge 15 A"},
    {"overdrawn-bms", "a battery management that passes more than its rating, or that a mode makes trip",
     "I <= discharge, I_charge <= charge, I the steady current that warms as the course of a mode does; no "
     "level at or above a trip current for its time or longer",
     "rating of the part",
     "the tolerance of the trip points is not known; they are taken as exact; time constant 1 min to 5 min "
     "(common practice, no source)",
     "discharge 20 A, charge 20 A, trips 120 A", "discharge 70 A, charge 20 A, trips 120 A"},
    {"overloaded-fuse",
     "a fuse or breaker that carries more than its rated current at the hottest ambient of its place, or "
     "for hours more than the policy allows",
     "I <= rated, time constant 5 min; I <= continuous-fuse-load x rated, time constant 1 h; I the steady "
     "current that warms as the course of a mode does; rated = rated current x (1 - 0.2 "
     "%/K x (ambient - rated-at)) for a fuse above the temperature it is rated at, 0.5 %/K above 65 degC for "
     "blade fuses, 0.6 %/K for a breaker",
     "rated current of the part; NFPA 70 210.20(A): 80 % for continuous load, less where a family of fuses "
     "is "
     "advised less; military fuse practice: 0.2 "
     "% a kelvin of the fuse body",
     "a fuse or breaker in the cold is not given more than its rated current; that it "
     "warms itself and its neighbours beyond the ambient is not counted",
     "fuse F3 { 1 A", "fuse F3 { 5 A"},
    {"overloaded-converter",
     "a converter, or an output pin, that is asked for more than it gives: its voltage gives way",
     "I_output < limit", "rating of the part", "only limits that are reached in a solved mode",
     "output 12 V 1 A", "output 12 V 5 A"},
    {"overloaded-motor", "a motor whose leads are fed more, over a mode, than it may carry",
     "I <= carries, I the steady current that warms as the course of the mode does", "rating of the part",
     "only where the mode states the phase current; time constant 2 min to 10 min (common practice, no "
     "source)",
     "motor M1 { leads 3, carries 40 A }", "motor M1 { leads 3, carries 90 A }"},
};

Passing passing(const RuleInput& input, PartId part, Attr what, double passes_A) {
    return {"a " + std::string(info(input.harness.part(part).kind).word) + " with " +
                std::string(info(what).name) + " " + amps(std::ceil(passes_A)) + " or more would pass",
            {at_least(input.harness, part, what, passes_A, Dimension::current)}};
}

// What passes for long and in every level, whatever its peak, A: a rating at what flows most needs no peak.
double passing_pack_A(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, int sign,
                      double limit_A) {
    const PartId part = input.circuit.edge(id).part;
    double passes_A = least_that_passes(limit_A, [&](double rated_A) {
        const Rated rated{rated_A, sign > 0 ? pack_warm_up(input.facts, part, rated_A) : charge_warm_up()};
        return rated_A *
               worst_load(
                   input.circuit, courses, [&](ModeId) { return std::optional(rated); }, flowing(id, sign))
                   .ratio();
    });
    const auto peak = input.facts.quantity(part, "peak"_attr, 0);
    const auto peak_time = input.facts.quantity(part, "peak"_attr, 1);
    for (const Course& course : courses)
        for (const OperatingPoint& point : course.points) {
            const double level_A = sign * point.edge_A[id.index()];
            if (level_A <= passes_A * 1.0001) continue;
            const Spell spell = longest_above(course, id, sign, level_A * (1 - 1e-9));
            const bool within_peak = sign > 0 && peak && peak_time && !above(level_A, peak->lo) &&
                                     !above(spell.seconds, peak_time->lo);
            if (!within_peak) passes_A = level_A;
        }
    return passes_A;
}

// One direction of a pack against its rating for long. Whether it was told.
bool judge_pack_for_long(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, int sign,
                         double limit_A, Report& report) {
    const PartId part = input.circuit.edge(id).part;
    const bool gives = sign > 0;
    const Rated rated{limit_A, gives ? pack_warm_up(input.facts, part, limit_A) : charge_warm_up()};
    const Excess worst = worst_load(
        input.circuit, courses, [&](ModeId) { return std::optional(rated); }, flowing(id, sign));
    if (!worst.over()) return false;
    const std::string name = gives ? "discharge" : "charge";
    add_excess(input, "overdrawn-pack", severity_of(worst), id,
               gives ? "gives more than it may" : "is charged with more than it may take", worst, name,
               passing(input, part, gives ? "discharge"_attr : "charge"_attr,
                       passing_pack_A(input, courses, id, sign, limit_A)),
               report);
    return worst.certain;
}

// Levels above its rating, each for itself.
void judge_pack_peaks(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, double limit_A,
                      Report& report) {
    const PartId part = input.circuit.edge(id).part;
    const auto peak = input.facts.quantity(part, "peak"_attr, 0);
    const auto peak_time = input.facts.quantity(part, "peak"_attr, 1);
    // What it gives for long it gives for a while.
    const double may_A = peak ? std::max(peak->lo, limit_A) : limit_A;
    const double may_s = peak_time ? peak_time->lo : 0;
    Spell worst;
    for (const Course& course : courses) {
        const Spell high = longest_above(course, id, 1, may_A * 1.0001);
        const Spell lasting = longest_above(course, id, 1, limit_A * 1.0001);
        const Spell& now = high.point ? high : lasting;
        if ((high.point || above(lasting.seconds, may_s)) && is_worse(input, now, worst)) worst = now;
    }
    if (!worst.point) return;
    const std::string limit =
        peak ? "peak " + amps(may_A) + " for " + to_text(may_s, Dimension::time) + ", else" : "discharge";
    add_level(input, "overdrawn-pack", Severity::error, id,
              peak ? "gives more than its peak allows" : "gives more than it may, for a time", worst.peak_A,
              worst.peak_A > may_A ? may_A : limit_A, limit, *worst.point,
              {"a level of " + amps(limit_A) + ", or one of " + amps(may_A) + " that ends within " +
                   to_text(may_s, Dimension::time) + ", would pass; this one lasts for " +
                   to_text(worst.seconds, Dimension::time),
               passing(input, part, "discharge"_attr, passing_pack_A(input, courses, id, 1, limit_A)).cures},
              report);
}

void judge_charging_level(const RuleInput& input, const std::vector<Course>& courses, EdgeId id,
                          double limit_A, Report& report) {
    Spell worst;
    for (const Course& course : courses)
        if (const Spell now = longest_above(course, id, -1, limit_A * 1.0001); is_worse(input, now, worst))
            worst = now;
    if (!worst.point) return;
    add_level(input, "overdrawn-pack", Severity::warning, id,
              "is charged with more than it may take, for " + to_text(worst.seconds, Dimension::time),
              worst.peak_A, limit_A, "charge", *worst.point,
              passing(input, input.circuit.edge(id).part, "charge"_attr,
                      passing_pack_A(input, courses, id, -1, limit_A)),
              report);
}

void judge_pack(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const PartId part = input.circuit.edge(id).part;
    const auto discharge = input.facts.quantity(part, "discharge"_attr);
    const auto charge = input.facts.quantity(part, "charge"_attr);
    if (discharge && !judge_pack_for_long(input, courses, id, 1, discharge->lo, report))
        judge_pack_peaks(input, courses, id, discharge->lo, report);
    if (charge && !judge_pack_for_long(input, courses, id, -1, charge->lo, report))
        judge_charging_level(input, courses, id, charge->lo, report);
}

bool judge_trips(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, int out,
                 Report& report) {
    const Part& part = input.harness.part(input.circuit.edge(id).part);
    Spell worst;
    std::string limit_name;
    double limit_A = 0;
    for (const Attribute& attribute : input.harness.attributes_of(part.attributes)) {
        const bool charging = attribute.name == "charge-trips"_attr;
        if (!charging && attribute.name != "trips"_attr) continue;
        const auto values = input.harness.values_of(attribute);
        if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
        for (const Course& course : courses) {
            const Spell now = longest_above(course, id, charging ? -out : out, values[0].lo);
            if (!now.point || now.seconds < values[1].lo || !is_worse(input, now, worst)) continue;
            worst = now;
            limit_A = values[0].lo;
            limit_name = "trips after " + to_text(values[1].lo, Dimension::time) + " at";
        }
    }
    if (!worst.point) return false;
    add_level(input, "overdrawn-bms", Severity::error, id, "trips in normal use", worst.peak_A, limit_A,
              limit_name, *worst.point, {"a lower setting, or a trip point above " + amps(worst.peak_A)},
              report);
    return true;
}

void judge_bms(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const int out = discharge_sign(input.facts, edge);
    if (judge_trips(input, courses, id, out, report)) return;
    const bool charge_port = edge.way == 1;
    for (const bool charging : {false, true}) {
        if (charge_port && !charging) continue;
        const auto limit = input.facts.quantity(edge.part, charging ? "charge"_attr : "discharge"_attr);
        if (!limit) continue;
        const Rated rated{limit->lo, electronics_warm_up()};
        const int sign = charging ? -out : out;
        const Excess worst = worst_load(
            input.circuit, courses, [&](ModeId) { return std::optional(rated); },
            charge_port
                ? Amperes([id](const OperatingPoint& point) { return std::abs(point.edge_A[id.index()]); })
                : flowing(id, sign));
        if (!worst.over()) continue;
        add_excess(input, "overdrawn-bms", severity_of(worst), id, "passes more than it may", worst,
                   charging ? "charge" : "discharge",
                   {"one rated " + amps(std::ceil(worst.load.current_A)) + " or more would pass it",
                    {at_least(input.harness, edge.part, charging ? "charge"_attr : "discharge"_attr,
                              worst.load.current_A, Dimension::current)}},
                   report);
    }
}

// The course in which it is nearest to what it may carry at the hottest ambient of its place then.
Excess worst_fuse_load(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, double share,
                       const WarmUp& warm_up) {
    const PartId part = input.circuit.edge(id).part;
    return worst_load(
        input.circuit, courses,
        [&](ModeId mode) -> std::optional<Rated> {
            const auto rated = rated_at(input.facts, part, input.facts.ambient(part, mode).hi);
            if (!rated || rated->current_A <= 0) return std::nullopt;
            return Rated{rated->current_A * share, warm_up};
        },
        [id](const OperatingPoint& point) { return std::abs(point.edge_A[id.index()]); });
}

// How much of its rated current a device should carry for hours: what the policy says, else the less of its
// default and of what is advised for the device's own family.
struct ContinuousShare {
    double share;
    std::string of;  // "continuous-fuse-load allows"
    std::string source;
};
ContinuousShare continuous_share(const RuleInput& input, PartId part) {
    const double policy = input.facts.policy("continuous-fuse-load"_attr).lo / 100;
    const ContinuousShare by_policy{policy, "continuous-fuse-load allows", "NFPA 70 210.20(A)"};
    if (input.harness.value(input.harness.policy, "continuous-fuse-load"_attr).present()) return by_policy;
    const ProtectionFamily* family = find_protection_family(input.facts.word(part, "curve"_attr));
    if (!family || family->load_factor <= 0 || family->load_factor >= policy) return by_policy;
    return {family->load_factor, "a " + std::string(family->name) + " should carry",
            cite(family->load_source)};
}

void judge_fuse(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const PartId part = input.circuit.edge(id).part;
    const auto [share, allows, share_source] = continuous_share(input, part);
    Excess worst = worst_fuse_load(input, courses, id, 1, fuse_warm_up());
    const bool over = worst.over();
    if (!over) worst = worst_fuse_load(input, courses, id, share, hours());
    if (!worst.over()) return;
    const auto rated = rated_at(input.facts, part, input.facts.ambient(part, worst.course.mode).hi);
    const double now_A = worst.load.current_A;
    const std::string at =
        rated->lowered() ? " at " + to_text(rated->ambient_degC, Dimension::temperature) : std::string();
    Finding finding =
        finding_about(input, "overloaded-fuse", over ? Severity::error : Severity::warning, part);
    finding.message = named(input.harness, part) + (over ? " carries more than its rated current" + at
                                                         : " carries more for hours than a fuse should");
    const std::string limit = (over ? "rated" : allows) + at;
    finding.beside = flow_text(worst.load) + "; " + limit + " " + amps(worst.may_A);
    finding.working = excess_working(input, worst, part, limit);
    if (!over)
        finding.working.push_back(amps(worst.may_A) + " = " + to_text(share * 100, Dimension::none) +
                                  " % x " + amps(rated->current_A));
    if (rated->lowered()) finding.working.push_back(rated->working());
    finding.figures = {{"current", now_A, Dimension::current}, {"limit", worst.may_A, Dimension::current}};
    finding.source = "rating of the part";
    if (!over) finding.source += "; " + share_source;
    if (rated->lowered()) finding.source += "; " + cite(SourceId::fuse_temperature);
    witnessed(input, finding, *worst.load.at, id);
    // Both for minutes and for hours, in whatever course each is worst.
    const double passes_A =
        rated->stated_A * std::max(worst_fuse_load(input, courses, id, 1, fuse_warm_up()).ratio(),
                                   worst_fuse_load(input, courses, id, share, hours()).ratio());
    finding.cures = {at_least(input.harness, part, "(rated-current)"_attr, passes_A, Dimension::current)};
    const auto& ratings = standard_ratings_A();
    const auto larger = std::lower_bound(ratings.begin(), ratings.end(), passes_A);
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
        const double limit_A = output_of(input.facts, edge)->current_A;
        // Held just below its limit by the solver: it stands at it.
        const double solved_A = point.edge_A[id.index()],
                     gives_A = std::abs(solved_A - limit_A) <= printed_share * limit_A ? limit_A : solved_A;
        const bool pin = edge.role == EdgeRole::output_pin;
        Finding finding = finding_about(input, "overloaded-converter", Severity::error, edge.part);
        const std::string who = pin ? "output " + std::string(input.harness.terminal(edge.to_terminal).path) +
                                          " of " + named(input.harness, edge.part)
                                    : named(input.harness, edge.part);
        finding.message = who + " is asked for more than it gives";
        const EdgeId load = limits.held_load(point, id);
        if (load) {
            const auto place = static_cast<std::size_t>(
                std::find(point.collapsed.begin(), point.collapsed.end(), load) - point.collapsed.begin());
            const double share = point.held_share[place], now_A = std::abs(point.edge_A[load.index()]);
            const std::string whose = named(input.harness, input.circuit.edge(load).part);
            finding.beside = "gives up to " + amps(limit_A) + "; " + whose + " gets " +
                             to_text(share * 100, Dimension::percentage) + " of what it asks for";
            finding.working = {amps(gives_A) + " is its limit, of which " + whose + " gets " + amps(now_A)};
        } else {
            const double output_V = point.node_V[edge.to.index()] - point.node_V[edge.from.index()];
            finding.beside = "gives up to " + amps(limit_A) + ", and its output falls to " + volts(output_V);
            finding.working = {amps(gives_A) + " is its limit, and at it stand " + volts(output_V) +
                               " in place of " + volts(output_of(input.facts, edge)->voltage_V)};
        }
        finding.figures = {{"current", gives_A, Dimension::current}, {"limit", limit_A, Dimension::current}};
        finding.source = "rating of the part";
        witnessed(input, finding, point, id);
        finding.help =
            pin ? "an output that gives more, or a supply of its own" : "a larger converter, or less to feed";
        report.add(std::move(finding));
        return;
    }
}

void judge_motor(const RuleInput& input, const std::vector<Course>& courses, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    const auto carries = input.facts.quantity(id, "carries"_attr);
    if (!carries || part.terminals.count == 0) return;
    const Rated rated{carries->lo, motor_warm_up()};
    Excess worst;
    for (const Incidence& lead : input.circuit.at(input.circuit.node(TerminalId(part.terminals.first)))) {
        Excess now = worst_load(
            input.circuit, courses, [&](ModeId) { return std::optional(rated); },
            [&](const OperatingPoint& point) { return std::abs(point.edge_A[lead.edge.index()]); });
        if (now.over() && now.ratio() > worst.ratio()) worst = std::move(now);
    }
    if (!worst.load.at) return;
    Finding finding = finding_about(input, "overloaded-motor", severity_of(worst), id);
    finding.message = named(input.harness, id) + " is fed more than it may carry";
    finding.beside = flow_text(worst.load) + "; may carry " + amps(carries->lo);
    finding.working = excess_working(input, worst, id, "rated");
    finding.figures = {{"current", worst.load.current_A, Dimension::current},
                       {"limit", carries->lo, Dimension::current}};
    finding.source = "rating of the part";
    finding.mode = worst.course.mode;
    finding.help = "a lower phase-limit, or shorter pulls";
    finding.cures = {at_least(input.harness, id, "carries"_attr, worst.load.current_A, Dimension::current)};
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    const ConverterLimits limits(input.circuit, input.facts, input.zones.supply_of_node);
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
            case EdgeRole::output_pin:
                judge_converter(input, limits, EdgeId(i), report);
                break;
            default:
                break;
        }
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i)
        if (input.harness.parts[i].kind == Kind::motor) judge_motor(input, courses, PartId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::source_ratings
