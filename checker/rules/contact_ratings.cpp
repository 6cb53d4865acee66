// Contacts, bars, blocks and splices against what they may carry.
//
// Connectors are derated by ambient on the base curve of IEC 60512-5-2. A level that lasts under 5 s is
// averaged into the rest (common practice, no source); one that lasts longer counts as it is.
#include <cmath>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overloaded-contact",
     "a contact of a connector, switch, contactor, relay or selector, a driver pin, or a bar, block, splice "
     "or "
     "stud, that carries more than it may",
     "I <= Ir sqrt((Tmax - Ta)/(Tmax - Tr)) for connectors; I <= carries for the others",
     "IEC 60512-5-2 (base curve); rating of the part",
     "bars and blocks count what arrives at them; neighbouring contacts are not added; levels under 5 s are "
     "averaged "
     "(common practice, no source)",
     "carries 30 A, 90 V", "carries 80 A, 90 V"},
};

constexpr double short_level_s = 5;

struct Rating {
    double may_A = 0;
    std::string working;
    std::string source;
};

TerminalId driver_pin(const Edge& edge) {
    return edge.role == EdgeRole::low_side ? edge.from_terminal : edge.to_terminal;
}

// The current a driver pin is said to stand.
std::optional<Quantity> driver_rating(const RuleInput& input, const Edge& edge) {
    const std::string_view name = input.harness.terminal(driver_pin(edge)).role;
    for (const Attribute& attribute : input.harness.attributes_of(input.harness.part(edge.part).attributes)) {
        if (attribute.name != "pin"_attr) continue;
        const auto values = input.harness.values_of(attribute);
        if (values[0].text == name && values[3].present() && values[3].known != Knowledge::unknown)
            return values[3].quantity();
    }
    return std::nullopt;
}

// The rating of one contact: its own line, else the part's.
std::optional<Rating> contact_rating(const RuleInput& input, const Edge& edge, ModeId mode) {
    const Facts& facts = input.facts;
    std::optional<Quantity> carries =
        is_driver(edge.role) ? driver_rating(input, edge) : facts.quantity(edge.part, "carries"_attr);
    const Part& part = input.harness.part(edge.part);
    if (edge.role == EdgeRole::contact)
        for (const Attribute& attribute : input.harness.attributes_of(part.attributes)) {
            if (attribute.name != "contact"_attr) continue;
            const auto values = input.harness.values_of(attribute);
            if (values[0].text == input.harness.terminal(edge.from_terminal).role &&
                values[1].known != Knowledge::unknown)
                carries = values[1].quantity();
        }
    if (!carries) return std::nullopt;
    const auto rated_at = facts.quantity(edge.part, "rated-at"_attr);
    const auto limit = facts.quantity(edge.part, "limit"_attr);
    if (edge.role != EdgeRole::contact || !rated_at || !limit)
        return Rating{carries->lo, amps(carries->lo) + " (rated)", "rating of the part"};
    const double ambient = facts.ambient(edge.part, mode).hi;
    const double derated = derated_A(carries->lo, rated_at->lo, limit->lo, ambient);
    return Rating{derated,
                  amps(derated) + " = " + amps(carries->lo) + " x sqrt((" +
                      to_text(limit->lo, Dimension::temperature) + " - " +
                      to_text(ambient, Dimension::temperature) + ")/(" +
                      to_text(limit->lo, Dimension::temperature) + " - " +
                      to_text(rated_at->lo, Dimension::temperature) + "))",
                  "IEC 60512-5-2, base curve"};
}

std::string contact_name(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::contact)
        return "contact " + std::string(input.harness.terminal(edge.from_terminal).path);
    if (is_driver(edge.role))
        return "driver pin " + std::string(input.harness.terminal(driver_pin(edge)).path);
    return named(input.harness, edge.part);
}

void judge(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const std::optional<WorstCourse> worst = worst_course(courses, id);
    if (!worst) return;
    const std::optional<Rating> rating = contact_rating(input, edge, worst->course.mode);
    if (!rating) return;
    const Carried& now = worst->carried;
    const bool long_peak = now.peak_s >= short_level_s;
    const bool sustained = now.sustained_A > rating->may_A;
    if (now.sustained_A < 1e-3 || !(sustained || (long_peak && now.peak_A > rating->may_A))) return;
    Finding finding = finding_about(input, "overloaded-contact",
                                    sustained ? Severity::error : Severity::warning, edge.part);
    if (edge.role == EdgeRole::contact || is_driver(edge.role)) {
        const TerminalId at = edge.role == EdgeRole::contact ? edge.from_terminal : driver_pin(edge);
        finding.subject = std::string(input.harness.terminal(at).path);
    }
    const double shown = sustained ? now.sustained_A : now.peak_A;
    finding.message = contact_name(input, edge) +
                      (sustained ? " carries more than it may" : " carries more than it may, for a time");
    finding.beside = amps(shown) + (sustained ? "" : " for " + to_text(now.peak_s, Dimension::time)) +
                     "; may carry " + amps(rating->may_A) + " here";
    finding.working = {amps(shown) + " > " + amps(rating->may_A), rating->working};
    finding.figures = {{"current", shown, Dimension::current}, {"limit", rating->may_A, Dimension::current}};
    finding.source = rating->source;
    witnessed(input, finding, *now.at_peak, id);
    if (is_driver(edge.role))
        finding.help = "a relay between, or a part that draws less";
    else
        finding.help =
            "a contact rated " +
            amps(std::ceil(shown / std::max(0.01, rating->may_A) *
                           input.facts.quantity(edge.part, "carries"_attr).value_or(Quantity{}).lo)) +
            " or more would carry it, or a lower current";
    report.add(std::move(finding));
}

// A bar, block or splice: the larger of what arrives at it and what leaves it.
void judge_point(const RuleInput& input, const std::vector<Course>& courses, PartId id, Report& report) {
    const Part& part = input.harness.part(id);
    const auto carries = input.facts.quantity(id, "carries"_attr);
    if (!carries || part.terminals.count == 0) return;
    double worst_A = 0;
    const OperatingPoint* worst_point = nullptr;
    NodeId worst_node;
    std::vector<NodeId> nodes;
    for (std::size_t i = 0; i < part.terminals.count; ++i) {
        const NodeId node = input.circuit.node(TerminalId(part.terminals.first + i));
        if (nodes.empty() || nodes.back() != node) nodes.push_back(node);
    }
    for (const Course& course : courses)
        for (const NodeId node : nodes) {
            double squares = 0, seconds = 0, last = 0, highest = 0;
            const OperatingPoint* at = nullptr;
            for (const OperatingPoint& point : course.points) {
                double arrives = 0;
                for (const Incidence& next : input.circuit.at(node)) {
                    const Edge& edge = input.circuit.edge(next.edge);
                    arrives += std::max(0.0, (edge.to == node ? 1 : -1) * point.edge_A[next.edge.index()]);
                }
                last = arrives;
                if (!at || arrives > highest) at = &point;
                highest = std::max(highest, arrives);
                if (std::isfinite(point.duration_s))
                    squares += arrives * arrives * point.duration_s, seconds += point.duration_s;
            }
            const bool stays = std::isinf(course.points.back().duration_s);
            const double sustained = stays || seconds == 0 ? last : std::sqrt(squares / seconds);
            if (sustained > worst_A) worst_A = sustained, worst_point = at, worst_node = node;
        }
    if (!worst_point || worst_A <= carries->lo) return;
    Finding finding = finding_about(input, "overloaded-contact", Severity::error, id);
    finding.message = named(input.harness, id) + " carries more than it may";
    finding.beside = amps(worst_A) + " arrive; may carry " + amps(carries->lo);
    finding.working = {amps(worst_A) + " > " + amps(carries->lo) + " (rated)"};
    finding.figures = {{"current", worst_A, Dimension::current}, {"limit", carries->lo, Dimension::current}};
    finding.source = "rating of the part";
    finding.mode = worst_point->mode;
    finding.corner = worst_point->corner;
    finding.help = "one rated " + amps(std::ceil(worst_A)) + " or more would carry it";
    EdgeId strongest;
    double most_A = 0;
    for (const Incidence& next : input.circuit.at(worst_node))
        if (const double now = std::abs(worst_point->edge_A[next.edge.index()]); now > most_A)
            most_A = now, strongest = next.edge;
    if (strongest) finding.witness = current_path(input.circuit, *worst_point, strongest);
    report.add(std::move(finding));
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

extern const RuleFamily contact_ratings;
const RuleFamily contact_ratings{infos, run};

}  // namespace loomward::rules
