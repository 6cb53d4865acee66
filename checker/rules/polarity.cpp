// Parts fed the wrong way round: by the voltages of the modes, and where no mode tells, by the graph: a part
// with electronics whose minus a source can push a current into and whose plus leads back to it, in
// every position of the switches and never the right way.
#include <cmath>
#include <set>

#include "checker/parts/driven.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"reversed",
     "a part with poles whose minus stands above its plus in some mode, or a pack charged backwards through "
     "another",
     "U(+) - U(-) >= -0.5 V; on the graph: some pack's plus leads to + and - to its minus, or to neither",
     "Kirchhoff's laws",
     "on the graph every contact counts as closed, selectors and change-overs one position at a time; lamps "
     "and heaters without electronics may not mind; the poles are stated, so it is said; a note for a "
     "load "
     "with a stall current, which is a motor, that another mode feeds the right way round",
     "red) H2.->+ (W14", "red) H2 (W14"},
};

bool has_poles(const RuleInput& input, const Edge& edge) {
    switch (edge.role) {
        case EdgeRole::load:
        case EdgeRole::controller:
        case EdgeRole::converter_input:
        case EdgeRole::supply_pin:
            return true;
        case EdgeRole::capacitor:
            return input.harness.part(edge.part).kind == Kind::capacitor;
        default:
            return false;
    }
}

// Whether some mode feeds it the way its poles say.
bool stands_right(const RuleInput& input, const Edge& edge) {
    for (const OperatingPoint& point : input.points)
        if (point.usable() && point.node_V[edge.from.index()] - point.node_V[edge.to.index()] >= 0.5)
            return true;
    return false;
}

// Connectors on the unbranched lead that begins at a terminal.
std::set<PartId> plugs_on_lead(const RuleInput& input, NodeId node) {
    std::set<PartId> plugs;
    EdgeId arrived_by;
    for (std::size_t steps = 0; steps < input.circuit.edges.size(); ++steps) {
        EdgeId next;
        std::size_t onward = 0;
        for (const Incidence& each : input.circuit.at(node))
            if (each.edge != arrived_by && is_conductor(input.circuit.edge(each.edge).role)) {
                next = each.edge;
                ++onward;
            }
        if (onward != 1) break;
        const Edge& edge = input.circuit.edge(next);
        if (edge.role == EdgeRole::contact) plugs.insert(edge.part);
        node = edge.from == node ? edge.to : edge.from;
        arrived_by = next;
    }
    return plugs;
}

// Where both leads pass one plug, that is where they are crossed most easily.
void name_plugs(const RuleInput& input, const Edge& edge, Finding& finding) {
    const std::set<PartId> plus = plugs_on_lead(input, edge.from), minus = plugs_on_lead(input, edge.to);
    for (const PartId plug : plus)
        if (minus.contains(plug))
            finding.related.push_back(
                {input.harness.part(plug).where, "both of its leads pass " + named(input.harness, plug) +
                                                     ": the contacts of its two halves may be crossed"});
}

void find_by_voltage(const RuleInput& input, std::set<PartId>& told, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!has_poles(input, edge) || told.contains(edge.part)) continue;
        for (const OperatingPoint& point : input.points) {
            // Poles stand the wrong way round in a mode whose loads cannot all be fed too; it may be why.
            const bool collapsed = point.status == SolveStatus::collapsed && !point.node_V.empty();
            if (!point.usable() && !(collapsed && point.contradictions.empty())) continue;
            const double across_V = point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
            if (across_V >= -0.5) continue;
            Finding finding = finding_about(input, "reversed", Severity::error, edge.part);
            finding.message = named(input.harness, edge.part) + " is connected the wrong way round";
            const auto path = [&](TerminalId terminal) {
                return std::string(input.harness.terminal(terminal).path);
            };
            finding.beside =
                path(edge.from_terminal) + " stands " + volts(-across_V) + " below " + path(edge.to_terminal);
            finding.working = {volts(across_V) + " from " + path(edge.from_terminal) + " to " +
                               path(edge.to_terminal)};
            finding.figures = {{"voltage", across_V, Dimension::voltage}};
            finding.source = "Kirchhoff's laws";
            finding.mode = point.mode;
            finding.corner = point.corner;
            finding.help = "exchange the wires at its two poles";
            if (edge.role == EdgeRole::load && stands_right(input, edge)) {
                const bool motor = input.facts.quantity(edge.part, "stall"_attr).has_value();
                if (motor) {
                    finding.severity = Severity::note;
                    finding.message = named(input.harness, edge.part) + " is fed either way round";
                    finding.help = "nothing, if it is a motor that is meant to run both ways";
                } else {
                    finding.help += "; a motor that is meant to run both ways says its stall current";
                }
            }
            if (finding.severity == Severity::error) {
                finding.working.push_back("counted as drawing nothing so; what has a diode or capacitors inside "
                                          "may conduct, and then its fuse alone ends that");
                name_plugs(input, edge, finding);
            }
            told.insert(edge.part);
            report.add(std::move(finding));
            break;
        }
    }
}

// Electronics and what else dies of it, and what charges: judged without any mode.
bool dies_of_it(const RuleInput& input, const Edge& edge) {
    switch (edge.role) {
        case EdgeRole::controller:
        case EdgeRole::converter_input:
        case EdgeRole::supply_pin:
        case EdgeRole::charger:
            return true;
        case EdgeRole::capacitor:
            return input.harness.part(edge.part).kind == Kind::capacitor;
        default:
            return false;
    }
}

void tell_by_graph(const RuleInput& input, const Edge& edge, Report& report) {
    const bool source = edge.role == EdgeRole::charger;
    const auto path = [&](TerminalId terminal) { return std::string(input.harness.terminal(terminal).path); };
    const std::string plus = path(source ? edge.to_terminal : edge.from_terminal),
                      minus = path(source ? edge.from_terminal : edge.to_terminal);
    Finding finding = finding_about(input, "reversed", Severity::error, edge.part);
    finding.message = named(input.harness, edge.part) + " is connected the wrong way round";
    finding.beside = minus + " leads to the plus of a source, " + plus + " to its minus";
    finding.working = {"a source can push a current into " + minus + " and out of " + plus +
                       ", and in no position of the switches the other way"};
    finding.source = "Kirchhoff's laws";
    finding.help = "exchange the wires at its two poles, or the contacts of the plug before it";
    report.add(std::move(finding));
}

void find_by_graph(const RuleInput& input, std::set<PartId>& told, Report& report) {
    std::vector<EdgeId> uses, charges;
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (const Edge& edge = input.circuit.edges[i]; dies_of_it(input, edge) && !told.contains(edge.part))
            (edge.role == EdgeRole::charger ? charges : uses).emplace_back(i);
    const auto judge = [&](const std::vector<EdgeId>& edges, const std::vector<Drive::Ways>& ways) {
        for (std::size_t i = 0; i < edges.size(); ++i) {
            const Edge& edge = input.circuit.edge(edges[i]);
            // A source is an edge from its minus to its plus.
            const bool source = edge.role == EdgeRole::charger;
            const bool right = source ? ways[i].against : ways[i].along;
            const bool wrong = source ? ways[i].along : ways[i].against;
            if (wrong && !right && told.insert(edge.part).second) tell_by_graph(input, edge, report);
        }
    };
    judge(uses, driven(input.circuit, uses, DriveThrough::anything));
    judge(charges, driven(input.circuit, charges, DriveThrough::anything, DriveBy::packs));
}

void run(const RuleInput& input, Report& report) {
    std::set<PartId> told;
    find_by_voltage(input, told, report);
    find_by_graph(input, told, report);
}

}  // namespace

extern const RuleFamily polarity;
const RuleFamily polarity{infos, run};

}  // namespace loomward::rules
