// Parts fed the wrong way round: by the voltages of the modes, and where no mode tells, by the graph: a part
// with electronics whose minus a source can push a current into and whose plus leads back to it, in
// every position of the switches and never the right way.
#include <algorithm>
#include <set>

#include "checker/circuit/lost_returns.hpp"
#include "checker/parts/driven.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/opposed_packs.hpp"
#include "checker/parts/turned_round.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::polarity {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"reversed",
     "a part with poles whose minus stands above its plus in some mode, or a pack that stands against the "
     "others of its string or against one beside it",
     "U(+) - U(-) >= -0.5 V; on the graph: some pack's plus leads to + and - to its minus, or to neither; a "
     "way from - to + of a consumer or charger passes every pack from - to +",
     "Kirchhoff's laws",
     "on the graph every contact counts as closed, selectors and change-overs one position at a time; lamps "
     "and heaters without electronics may not mind; the poles are stated, so it is said; a note for a "
     "load that another mode feeds the right way round, if it has a stall current, which makes it a motor, "
     "or "
     "if contacts turn the same two poles round for it, as they do on purpose for a motor (not where it acts "
     "as a power, as electronics do)",
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

// What a pack that stands against another in parallel makes of the voltages is no other part's mistake.
bool is_driven_by(const Circuit& circuit, const OperatingPoint& point,
                  const std::vector<OpposedPack>& opposed) {
    return std::any_of(opposed.begin(), opposed.end(), [&](const OpposedPack& each) {
        return std::any_of(each.consumers.begin(), each.consumers.end(), [&](EdgeId id) {
            const Edge& edge = circuit.edge(id);
            const double across_V = point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
            return (edge.role == EdgeRole::charger ? -across_V : across_V) < -0.5;
        });
    });
}

void find_by_voltage(const RuleInput& input, const std::vector<OpposedPack>& opposed, std::set<PartId>& told,
                     Report& report) {
    const std::vector<bool> turned = turned_round(input.circuit, input.facts);
    const std::vector<bool> lost = lost_returns(input.circuit);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!has_poles(input, edge) || told.contains(edge.part)) continue;
        for (const OperatingPoint& point : input.points) {
            // Poles stand the wrong way round in a mode whose loads cannot all be fed too; it may be why.
            const bool collapsed = point.status == SolveStatus::collapsed && !point.node_V.empty();
            if (!point.usable() && !(collapsed && point.contradictions.empty())) continue;
            if (is_driven_by(input.circuit, point, opposed)) continue;
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
            if (lost[i]) {
                finding.message = named(input.harness, edge.part) + " is fed backwards through other loads";
                finding.help = "a lead from " + path(edge.to_terminal) + " to the minus of its supply";
            }
            if (edge.role == EdgeRole::load && stands_right(input, edge)) {
                const bool motor =
                    turned[edge.part.index()] || input.facts.quantity(edge.part, "stall"_attr).has_value();
                if (motor) {
                    finding.severity = Severity::note;
                    finding.message = named(input.harness, edge.part) + " is fed either way round";
                    finding.help = "nothing, if it is a motor that is meant to run both ways";
                } else {
                    finding.help += "; a motor that is meant to run both ways says its stall current";
                }
            }
            if (finding.severity == Severity::error) {
                finding.working.push_back(
                    "counted as drawing nothing so; what has a diode or capacitors inside "
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

// ---- a pack against the others of its string ------------------------------------------------------------

// The voltages of the string with a full pack where it pushes forwards: "28.8 V (B1) - 28.8 V (B2)".
std::string sum_text(const RuleInput& input, const OpposedString& string, double& sum_V) {
    std::string text;
    for (const bool forwards : {true, false})
        for (const EdgeId id : forwards ? string.forwards : string.backwards) {
            const auto section =
                pack_section(input.circuit, input.facts, input.circuit.edge(id), Corner::run_full);
            if (!section) continue;
            sum_V += (forwards ? 1 : -1) * section->voltage_V;
            text += (text.empty() ? ""
                     : forwards   ? " + "
                                  : " - ") +
                    volts(section->voltage_V) + " (" +
                    std::string(input.harness.part(input.circuit.edge(id).part).name) + ")";
        }
    return text;
}

void tell_opposed(const RuleInput& input, const OpposedString& string, PartId pack, Report& report) {
    const Edge& consumer = input.circuit.edge(string.consumer);
    const PartId other = input.circuit.edge(string.forwards.front()).part;
    Finding finding = finding_about(input, "reversed", Severity::error, pack);
    finding.message = named(input.harness, pack) + " is connected the wrong way round";
    finding.beside = "it stands against " + named(input.harness, other) + " in the string of " +
                     named(input.harness, consumer.part);
    double sum_V = 0;
    const std::string sum = sum_text(input, string, sum_V);
    finding.working = {"on the way from the minus to the plus of " + named(input.harness, consumer.part) +
                       " " + named(input.harness, other) + " is passed from - to +, " +
                       named(input.harness, pack) + " from + to -"};
    if (!sum.empty()) {
        finding.working.push_back(volts(sum_V) + " = " + sum + " (all of them full)");
        finding.figures = {{"voltage", sum_V, Dimension::voltage}};
    }
    finding.source = "Kirchhoff's laws";
    finding.corner = Corner::run_full;
    finding.related.push_back({input.harness.part(other).where, named(input.harness, other) + " is here"});
    finding.related.push_back(
        {input.harness.part(consumer.part).where, named(input.harness, consumer.part) + " is here"});
    finding.help =
        "exchange the wires at its two poles before anything is connected: a charger for the "
        "string would meet next to no voltage";
    report.add(std::move(finding));
}

// What hangs on such a string may get some voltage the wrong way round: that is the pack's mistake.
void find_opposed_packs(const RuleInput& input, std::set<PartId>& told, Report& report) {
    std::set<PartId> excused;
    for (const OpposedString& string : opposed_strings(input.circuit)) {
        excused.insert(input.circuit.edge(string.consumer).part);
        for (const EdgeId id : string.backwards)
            if (const PartId pack = input.circuit.edge(id).part; told.insert(pack).second)
                tell_opposed(input, string, pack, report);
    }
    told.insert(excused.begin(), excused.end());
}

// Two packs side by side of which one is turned round short each other.
void tell_opposed_in_parallel(const RuleInput& input, const std::vector<OpposedPack>& opposed,
                              std::set<PartId>& told, Report& report) {
    for (const OpposedPack& each : opposed) {
        for (const EdgeId id : each.consumers) told.insert(input.circuit.edge(id).part);
        if (!told.insert(each.pack).second) continue;
        const PartId consumer = input.circuit.edge(each.consumers.front()).part;
        const std::string pack = named(input.harness, each.pack), other = named(input.harness, each.other);
        Finding finding = finding_about(input, "reversed", Severity::error, each.pack);
        finding.message = pack + " is connected the wrong way round";
        finding.beside = "its plus lies with the minus of " + other + ", its minus with the plus";
        finding.working = {
            named(input.harness, consumer) + " is fed the right way round by " + other +
                ", the wrong way round by " + pack,
            "joined, both drive one current round a ring with nothing in it but wires and fuses"};
        finding.source = "Kirchhoff's laws";
        finding.related.push_back({input.harness.part(each.other).where, other + " is here"});
        finding.related.push_back(
            {input.harness.part(consumer).where, named(input.harness, consumer) + " is here"});
        finding.help = "exchange the wires at its two poles before anything is connected";
        report.add(std::move(finding));
    }
}

void run(const RuleInput& input, Report& report) {
    std::set<PartId> told;
    find_opposed_packs(input, told, report);
    const std::vector<OpposedPack> opposed = opposed_packs(input.circuit);
    tell_opposed_in_parallel(input, opposed, told, report);
    find_by_voltage(input, opposed, told, report);
    find_by_graph(input, told, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::polarity
