// Contacts of connectors that their wires cool too little: the same contact on a thinner wire gets hotter.
#include <algorithm>
#include <cmath>

#include "checker/heat/contact.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::hot_contacts {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"overheated-contact",
     "a contact that its rating lets carry what it does, but that gets hotter than it stands on the wires it "
     "has: they take most of its heat",
     "T = Tw + I2 R / (2 G), G = sqrt(g k S), Tw the wire's own steady temperature, g what it gives away per "
     "metre and kelvin; T <= limit",
     "fin of infinite length (textbooks of heat transfer); heat balance of docs/heat.md",
     "judged where limit and contact-resistance are both stated, and the sizes of the wires known; the "
     "thinner "
     "of the two wires counts for both; the contact's own surface counts nothing, which makes it the hotter "
     "estimate, and the finding a warning; what its rating forbids is told by overloaded-contact",
     "rated-at 30 degC, limit 105 degC, contact-resistance 5 mohm", "rated-at 30 degC, limit 105 degC"},
};

// The thinnest wire that lands at either end; invalid where one end has none of known size.
WireId thinnest_wire(const RuleInput& input, const Edge& contact) {
    WireId thinnest;
    for (const TerminalId end : {contact.from_terminal, contact.to_terminal}) {
        WireId here;
        for (const Incidence& next : input.circuit.at(input.circuit.node(end))) {
            const WireId id = input.circuit.edge(next.edge).wire;
            if (!id || !input.harness.wire(id).area.is_known() || input.harness.wire(id).area.lo <= 0)
                continue;
            // Of several that land there the heat goes into all: the thickest says most.
            if (!here || input.harness.wire(id).area.lo > input.harness.wire(here).area.lo) here = id;
        }
        if (!here) return {};
        if (!thinnest || input.harness.wire(here).area.lo < input.harness.wire(thinnest).area.lo)
            thinnest = here;
    }
    return thinnest;
}

struct HotContact {
    const Course* course = nullptr;
    CourseLoad load;
    ContactHeat heat;
    double ambient_degC = 0;
};

void tell(const RuleInput& input, EdgeId id, WireId wire_id, double ohm, double limit_degC,
          const HotContact& hot, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const Wire& wire = input.harness.wire(wire_id);
    const std::string name(input.harness.terminal(edge.from_terminal).path);
    Finding finding = finding_about(input, "overheated-contact", Severity::warning, edge.part);
    finding.subject = name;
    finding.message = "contact " + name + " gets hotter than it stands on the wires it has";
    if (hot.heat.settles) {
        finding.beside =
            degrees(hot.heat.contact_degC) + " at " + flow_text(hot.load) + "; stands " + degrees(limit_degC);
        const double lost_W = hot.load.current_A * hot.load.current_A * ohm;
        const bool alike = degrees(hot.heat.contact_degC) == degrees(limit_degC);
        finding.working = {degrees(hot.heat.contact_degC) + (alike ? " is just above " : " > ") +
                               degrees(limit_degC) + " (limit)",
                           to_text(hot.heat.contact_degC - hot.heat.wire_degC, Dimension::temperature_rise) +
                               " = " + to_text(lost_W, Dimension::power) + " / 2 / " +
                               to_text(hot.heat.taken_W_per_K, Dimension::power) + "/K, above " +
                               named(input.harness, wire_id) + ", which settles at " +
                               degrees(hot.heat.wire_degC) + " in air of " + degrees(hot.ambient_degC),
                           to_text(wire.area.lo, Dimension::area) + " takes its heat along " +
                               to_text(hot.heat.decay_m, Dimension::length) + " of each wire"};
    } else {
        finding.beside = "settles nowhere at " + flow_text(hot.load) + "; stands " + degrees(limit_degC);
        finding.working = {named(input.harness, wire_id) + " warms it more than it cools it"};
    }
    finding.figures = {{"temperature", hot.heat.contact_degC, Dimension::temperature},
                       {"limit", limit_degC, Dimension::temperature},
                       {"current", hot.load.current_A, Dimension::current}};
    finding.source = "fin of infinite length (textbooks); docs/heat.md";
    if (wire.where.valid())
        finding.related.push_back({wire.where, named(input.harness, wire_id) + " is its heat sink"});
    witnessed(input, finding, *hot.load.at, id);
    finding.help = "thicker wires at it, a contact of less resistance, or less current";
    report.add(std::move(finding));
}

void judge(const RuleInput& input, const std::vector<Course>& courses, EdgeId id, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    if (input.harness.part(edge.part).kind != Kind::connector) return;
    if (!input.harness.find(input.harness.part(edge.part).attributes, "contact-resistance"_attr)) return;
    const auto ohm = input.facts.quantity(edge.part, "contact-resistance"_attr);
    const auto limit = input.facts.quantity(edge.part, "limit"_attr);
    const WireId wire_id = thinnest_wire(input, edge);
    if (!ohm || !limit || !wire_id) return;
    const Wire& wire = input.harness.wire(wire_id);
    std::optional<HotContact> worst;
    for (const Course& course : courses) {
        HotContact hot{&course, {}, {}, input.facts.ambient(edge.part, course.mode).hi};
        const auto rating =
            current_rating(input.facts, edge, input.facts.ambient(edge.part, course.mode), Direction::either);
        const double rated_A = rating ? rating->may_A : 0;
        hot.load = load_of(course, contact_warm_up(input.facts, edge.part, rated_A).quick_s, id);
        // Above its rating another rule speaks.
        if (!hot.load.at || hot.load.current_A < 1e-3 || (rating && above(hot.load.current_A, rated_A)))
            continue;
        const HeatedWire heated =
            heated_wire(wire.area.lo * wire.parallel, hot.load.current_A, Wall::building, wire.aluminium);
        hot.heat = contact_heat({ohm->hi}, heated, {hot.ambient_degC, input.facts.altitude_m()});
        const bool over = !hot.heat.settles || above(hot.heat.contact_degC, limit->lo);
        const auto name = [&](const HotContact& each) {
            return input.harness.modes[each.course->mode.index()].name;
        };
        if (!over) continue;
        const double more_K = worst ? hot.heat.contact_degC - worst->heat.contact_degC : 1;
        if (!worst || more_K > 1e-6 || (more_K >= -1e-6 && name(hot) < name(*worst))) worst = hot;
    }
    if (worst) tell(input, id, wire_id, ohm->hi, limit->lo, *worst, report);
}

void run(const RuleInput& input, Report& report) {
    const std::vector<Course> courses = usable_courses(input.points);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::contact) judge(input, courses, EdgeId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::hot_contacts
