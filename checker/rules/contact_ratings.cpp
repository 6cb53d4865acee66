// Contacts, bars, blocks and splices against what they may carry.
//
// Connectors are derated by ambient on the base curve of IEC 60512-5-2. A level counts by how long it lasts,
// against the time constant that follows from what the part withstands, or against the usual ones.
#include <cmath>

#include "checker/circuit/part_edges.hpp"
#include "checker/currents/arriving.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/rules/contact_needs.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::contact_ratings {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overloaded-contact",
     "a contact of a connector, switch, contactor, relay or selector, a driver pin, or a bar, block, splice "
     "or "
     "stud, that carries more than it may",
     "I <= Ir sqrt((Tmax - Ta)/(Tmax - Tr)) for connectors; I <= carries for the others; I is the steady "
     "current that warms as the course of a mode does: sqrt(peak of x), x' = (i^2 - x) / tau",
     "IEC 60512-5-2 (base curve); rating of the part; tau by `withstands`: (Iw/I)^2 (1 - exp(-tw/tau)) = 1",
     "bars and blocks count what arrives at them; neighbouring contacts are not added; without `withstands` "
     "tau is 60 s to 5 min (common practice, no source): an error where it is too much at both, else a "
     "warning",
     "carries 30 A, 90 V", "carries 80 A, 90 V"},
};

// At the limit temperature itself no rating is enough.
constexpr double most_rating_A = 1e6;

// What one contact may carry: its own line, else the part's; by ambient where its limit is known.
struct Rating {
    double carries_A = 0;
    std::optional<double> rated_at_degC, limit_degC;

    double may_A(double ambient_degC) const {
        if (!limit_degC) return carries_A;
        return derated_A(carries_A, *rated_at_degC, *limit_degC, ambient_degC);
    }
    std::string working(double ambient_degC) const {
        if (!limit_degC) return amps(carries_A) + " (rated)";
        const auto degrees = [](double value) { return to_text(value, Dimension::temperature); };
        return amps(may_A(ambient_degC)) + " = " + amps(carries_A) + " x sqrt((" + degrees(*limit_degC) +
               " - " + degrees(ambient_degC) + ")/(" + degrees(*limit_degC) + " - " +
               degrees(*rated_at_degC) + "))";
    }
    std::string source() const { return limit_degC ? "IEC 60512-5-2, base curve" : "rating of the part"; }
};

Rating derating(const RuleInput& input, const Edge& edge, double carries_A) {
    Rating rating{carries_A, {}, {}};
    const auto rated_at = input.facts.quantity(edge.part, "rated-at"_attr);
    const auto limit = input.facts.quantity(edge.part, "limit"_attr);
    if (edge.role == EdgeRole::contact && rated_at && limit) {
        rating.rated_at_degC = rated_at->lo;
        rating.limit_degC = limit->lo;
    }
    return rating;
}

std::optional<Rating> contact_rating(const RuleInput& input, const Edge& edge) {
    const Facts& facts = input.facts;
    std::optional<Quantity> carries = is_driver(edge.role) ? pin_current(input.harness, driver_pin(edge))
                                                           : facts.quantity(edge.part, "carries"_attr);
    if (edge.role == EdgeRole::contact)
        if (const OwnContact* own = input.harness.own_contact_at(edge.from_terminal))
            if (const Value& value = input.harness.current_of(*own); value.known != Knowledge::unknown)
                carries = value.quantity();
    if (!carries) return std::nullopt;
    return derating(input, edge, carries->lo);
}

std::string contact_name(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::contact)
        return "contact " + std::string(input.harness.terminal(edge.from_terminal).path);
    if (is_driver(edge.role))
        return "driver pin " + std::string(input.harness.terminal(driver_pin(edge)).path);
    return named(input.harness, edge.part);
}

WarmUp warm_up_of(const RuleInput& input, const Edge& edge, double may_A) {
    return is_driver(edge.role) ? electronics_warm_up() : contact_warm_up(input.facts, edge.part, may_A);
}

// In the units of its datasheet; `carries_A` is what would pass.
std::string help_for(const Edge& edge, double carries_A) {
    if (is_driver(edge.role)) return "a relay between, or a part that draws less";
    return "a contact rated " + amps(std::ceil(carries_A)) + " or more would carry it, or a lower current";
}

// The contact with that rating in the course in which it is worst.
Excess worst_of(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, const Rating& rating) {
    const Edge& edge = input.circuit.edge(id);
    return worst_load(
        input.circuit, courses,
        [&](ModeId mode) -> std::optional<Rated> {
            const double may_A = rating.may_A(input.facts.ambient(edge.part, mode).hi);
            return Rated{may_A, warm_up_of(input, edge, may_A)};
        },
        [id](const OperatingPoint& point) { return std::abs(point.edge_A[id.index()]); });
}

// What its datasheet would have to say, A; it may be hotter than the datasheet's temperature.
double passing_A(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Rating rating) {
    return least_that_passes(rating.carries_A, [&](double carries_A) {
        rating.carries_A = carries_A;
        return carries_A * worst_of(input, courses, id, rating).ratio();
    });
}

Cure cure_of(const RuleInput& input, const Edge& edge, double carries_A) {
    const OwnContact* own =
        edge.role == EdgeRole::contact ? input.harness.own_contact_at(edge.from_terminal) : nullptr;
    if (own && input.harness.current_of(*own).known != Knowledge::unknown)
        return at_least(input.harness, own->terminal, "contact"_attr, carries_A, Dimension::current);
    return at_least(input.harness, edge.part, "carries"_attr, carries_A, Dimension::current);
}

void judge(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const std::optional<Rating> rating = contact_rating(input, edge);
    if (!rating) return;
    const Excess worst = worst_of(input, courses, id, *rating);
    if (!worst.over()) return;
    const double ambient_degC = input.facts.ambient(edge.part, worst.course.mode).hi;
    Finding finding = finding_about(input, "overloaded-contact", severity_of(worst), edge.part);
    if (edge.role == EdgeRole::contact || is_driver(edge.role)) {
        const TerminalId at = edge.role == EdgeRole::contact ? edge.from_terminal : driver_pin(edge);
        finding.subject = std::string(input.harness.terminal(at).path);
    }
    finding.message =
        contact_name(input, edge) +
        (worst.load.stays() ? " carries more than it may" : " carries more than it may, for a time");
    finding.beside = flow_text(worst.load) + "; may carry " + amps(worst.may_A) + " here";
    finding.working = excess_working(input, worst, edge.part, "");
    finding.working.insert(finding.working.begin() + 1, rating->working(ambient_degC));
    finding.figures = {{"current", worst.load.current_A, Dimension::current},
                       {"limit", worst.may_A, Dimension::current}};
    finding.source = rating->source();
    witnessed(input, finding, *worst.load.at, id);
    const double carries_A = passing_A(input, courses, id, *rating);
    finding.help = help_for(edge, carries_A);
    if (!is_driver(edge.role) && carries_A < most_rating_A) finding.cures = {cure_of(input, edge, carries_A)};
    report.add(std::move(finding));
}

Excess worst_at(const RuleInput& input, const std::vector<Course>& courses, PartId id, NodeId node,
                double carries_A) {
    const Rated rated{carries_A, contact_warm_up(input.facts, id, carries_A)};
    return worst_load(
        input.circuit, courses, [&](ModeId) { return std::optional(rated); },
        [&](const OperatingPoint& point) { return arrives_A(input.circuit, point, node); });
}

// `passes_A` is what it would have to be rated.
void report_point(const RuleInput& input, const Excess& worst, PartId id, NodeId node, double passes_A,
                  Report& report) {
    Finding finding = finding_about(input, "overloaded-contact", severity_of(worst), id);
    finding.message =
        named(input.harness, id) +
        (worst.load.stays() ? " carries more than it may" : " carries more than it may, for a time");
    finding.beside = flow_text(worst.load) + " arrive; may carry " + amps(worst.may_A);
    finding.working = excess_working(input, worst, id, "rated");
    finding.figures = {{"current", worst.load.current_A, Dimension::current},
                       {"limit", worst.may_A, Dimension::current}};
    finding.source = "rating of the part";
    finding.mode = worst.course.mode;
    finding.corner = worst.course.corner;
    finding.help = "one rated " + amps(std::ceil(passes_A)) + " or more would carry it";
    finding.cures = {at_least(input.harness, id, "carries"_attr, passes_A, Dimension::current)};
    EdgeId strongest;
    double most_A = 0;
    for (const Incidence& next : input.circuit.at(node))
        if (const double now_A = std::abs(worst.load.at->edge_A[next.edge.index()]); now_A > most_A)
            most_A = now_A, strongest = next.edge;
    if (strongest) finding.witness = current_path(input.circuit, *worst.load.at, strongest);
    report.add(std::move(finding));
}

void judge_point(const RuleInput& input, const std::vector<Course>& courses, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    const auto carries = input.facts.quantity(id, "carries"_attr);
    if (!carries) return;
    std::vector<NodeId> nodes;
    for (std::size_t i = 0; i < part.terminals.count; ++i) {
        const NodeId node = input.circuit.node(TerminalId(part.terminals.first + i));
        if (nodes.empty() || nodes.back() != node) nodes.push_back(node);
    }
    Excess worst;
    NodeId worst_node;
    for (const NodeId node : nodes) {
        Excess now = worst_at(input, courses, id, node, carries->lo);
        if (now.over() && (!worst.load.at || now.ratio() > worst.ratio()))
            worst = std::move(now), worst_node = node;
    }
    if (!worst.load.at) return;
    const double passes_A = least_that_passes(carries->lo, [&](double carries_A) {
        double most = 0;
        for (const NodeId node : nodes)
            most = std::max(most, worst_at(input, courses, id, node, carries_A).ratio());
        return most * carries_A;
    });
    report_point(input, worst, id, worst_node, passes_A, report);
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const EdgeRole role = input.circuit.edges[i].role;
        if (role == EdgeRole::contact || role == EdgeRole::switching || is_driver(role))
            judge(input, courses, EdgeId(i), report);
    }
    for (std::size_t i = 0; i < input.harness.parts.size(); ++i) {
        const Kind kind = input.harness.parts[i].kind;
        if (kind == Kind::busbar || kind == Kind::terminal_block || kind == Kind::fuse_block ||
            kind == Kind::stud || kind == Kind::splice)
            judge_point(input, courses, PartId(i), report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::contact_ratings

namespace loomward::rules {

double contact_must_carry_A(const RuleInput& input, const std::vector<Course>& courses, PartId part) {
    using namespace contact_ratings;
    double most_A = 0;
    for (const EdgeId id : input.circuit.edges_of_part[part.index()]) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role != EdgeRole::switching && edge.role != EdgeRole::contact) continue;
        const Rating one = derating(input, edge, 1);
        // From next to nothing up: what it begins with passes where nothing flows.
        const double passes_A = passing_A(input, courses, id, derating(input, edge, idle_A));
        if (passes_A > 1.01 * idle_A && passes_A < most_rating_A) most_A = std::max(most_A, passes_A);
        for (const AtSetting& each : input.at_settings) {
            const double share = one.may_A(input.facts.ambient(part, each.point.mode).hi);
            if (each.point.usable() && share > 0)
                most_A = std::max(most_A, std::abs(each.point.edge_A[id.index()]) / share);
        }
    }
    return most_A;
}

}  // namespace loomward::rules
