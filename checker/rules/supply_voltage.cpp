// The voltage that arrives at each part against the one it is made for, and the drop on the way.
#include <algorithm>
#include <cmath>
#include <map>

#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"input-voltage",
     "a controller or converter, or a load that says what it works at, fed above that at a full pack",
     "U_full <= largest input voltage", "rating of the part",
     "steady voltages; regeneration is counted where a mode returns current",
     "controller U1 { input 30..50 V", "controller U1 { input 30..60 V"},
    {"wrong-rail",
     "a load without a stated range whose rated voltage is far from what it is fed: a 12 V part on the "
     "pack's rail",
     "0.7 x rated <= U_full <= 1.35 x rated", "common practice, no source",
     "loads that say what they work at are judged by that", "load H2 { 12 V, 10 W }",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
    {"undervoltage",
     "a controller, converter or load that gets less than it works at before the pack is empty",
     "U_low >= smallest input voltage", "rating of the part",
     "at the hottest ambient and the pack's lowest voltage", "controller U1 { input 45..60 V",
     "controller U1 { input 30..60 V"},
    {"voltage-drop",
     "a load that loses more of its source's voltage on the way, out and back, than the policy allows",
     "(U_source - U_load) / U_source <= voltage-drop",
     "ABYC E-11 11.14.2.6: 3 % for critical circuits, 10 % for others",
     "at the pack's lowest voltage, conductors as warm as their current makes them",
     "(W18 1 mm2, 40 m, yellow)", "(W18 1 mm2, 2 m, yellow)"},
};

bool draws(const Edge& edge) {
    return uses_power(edge.role);
}

std::optional<Quantity> working_range(const RuleInput& input, PartId part) {
    const bool load = input.harness.part(part).kind == Kind::load;
    return input.facts.quantity(part, load ? "works"_attr : "input"_attr);
}

double fed_V(const OperatingPoint& point, const Edge& edge) {
    return point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
}

Finding voltage_finding(const RuleInput& input, std::string_view rule, Severity severity, EdgeId id,
                        const OperatingPoint& point, std::string message, std::string beside,
                        std::string working) {
    Finding finding = finding_about(input, rule, severity, input.circuit.edge(id).part);
    finding.message = std::move(message);
    finding.beside = std::move(beside);
    finding.working = {std::move(working)};
    finding.figures = {{"voltage", fed_V(point, input.circuit.edge(id)), Dimension::voltage}};
    finding.source = "rating of the part";
    witnessed(input, finding, point, id);
    return finding;
}

// Whether something gets there at all. A load that pulls its own voltage down still draws; one that stands
// the wrong way round is another rule's.
bool is_fed(double now_V, double current_A) {
    if (now_V < -0.5) return false;
    return now_V >= 0.5 ? std::abs(current_A) >= 1e-6 : std::abs(current_A) >= 0.1;
}

// True if something was said, so that no second rule speaks about the same voltage.
bool judge_high(const RuleInput& input, EdgeId id, const OperatingPoint& point, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double now_V = fed_V(point, edge);
    const std::string who = named(input.harness, edge.part);
    const bool load = input.harness.part(edge.part).kind == Kind::load;
    if (const auto range = working_range(input, edge.part)) {
        if (now_V <= range->hi * 1.0001) return false;
        const bool far = load && now_V > 1.35 * range->hi;
        Finding finding = voltage_finding(input, far ? "wrong-rail" : "input-voltage", Severity::error, id,
                                          point, who + " is fed a higher voltage than it takes",
                                          volts(now_V) + "; takes up to " + volts(range->hi),
                                          volts(now_V) + " > " + volts(range->hi));
        finding.help = "a part that takes " + volts(std::ceil(now_V)) + ", or a converter before it";
        report.add(std::move(finding));
        return true;
    }
    const auto rated = load ? input.facts.quantity(edge.part, "(rated-voltage)"_attr) : std::nullopt;
    if (!rated || now_V <= 1.35 * rated->hi) return false;
    Finding finding = voltage_finding(
        input, "wrong-rail", Severity::error, id, point, who + " is on the wrong rail",
        volts(now_V) + "; made for " + volts(rated->hi), volts(now_V) + " > 1.35 x " + volts(rated->hi));
    finding.source = "common practice, no source";
    finding.help = "feed it from a " + volts(rated->hi) + " rail, or say what it works at";
    report.add(std::move(finding));
    return true;
}

// `full_V`: what it gets in the same mode with the pack full.
bool judge_low(const RuleInput& input, EdgeId id, const OperatingPoint& point, double full_V,
               Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const double now_V = fed_V(point, edge);
    if (!is_fed(now_V, point.edge_A[id.index()])) return false;  // off, or not fed at all: other rules
    const std::string who = named(input.harness, edge.part);
    if (const auto range = working_range(input, edge.part)) {
        if (now_V >= range->lo * 0.9999) return false;
        const bool always = full_V < range->lo;
        Finding finding = voltage_finding(
            input, "undervoltage", always ? Severity::error : Severity::warning, id, point,
            who + (always ? " never gets the voltage it needs"
                          : " gets too little voltage when the pack is low"),
            volts(now_V) + "; works from " + volts(range->lo), volts(now_V) + " < " + volts(range->lo));
        finding.help = always ? "a part that works at this voltage, or another rail"
                              : "a shorter or thicker way, or a part that works lower";
        report.add(std::move(finding));
        return true;
    }
    const bool load = input.harness.part(edge.part).kind == Kind::load;
    const auto rated = load ? input.facts.quantity(edge.part, "(rated-voltage)"_attr) : std::nullopt;
    if (!rated || full_V >= 0.7 * rated->lo) return false;
    Finding finding =
        voltage_finding(input, "wrong-rail", Severity::error, id, point, who + " is on the wrong rail",
                        volts(full_V) + " at most; made for " + volts(rated->lo),
                        volts(full_V) + " < 0.7 x " + volts(rated->lo));
    finding.source = "common practice, no source";
    report.add(std::move(finding));
    return true;
}

void judge_drop(const RuleInput& input, EdgeId id, const OperatingPoint& point, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    if (std::abs(point.edge_A[id.index()]) < 1e-3) return;
    const CurrentPath path = trace_current(input.circuit, point, id);
    NodeId end = path.start;
    for (const EdgeId step : path.edges) {
        const Edge& each = input.circuit.edge(step);
        if (each.role == EdgeRole::resistor) return;  // a precharge or dropping resistor is meant to drop
        end = each.from == end ? each.to : each.from;
    }
    const double source_V = point.node_V[path.start.index()] - point.node_V[end.index()];
    const double now_V = fed_V(point, edge);
    const double allowed = input.facts.policy("voltage-drop"_attr).lo / 100;
    if (source_V < 1 || source_V - now_V <= allowed * source_V) return;
    const double share = (source_V - now_V) / source_V;
    const bool severe = share > std::max(0.10, allowed);
    Finding finding =
        finding_about(input, "voltage-drop", severe ? Severity::error : Severity::warning, edge.part);
    finding.message =
        named(input.harness, edge.part) + " loses more voltage on the way than the policy allows";
    finding.beside = to_text(share * 100, Dimension::percentage) + " lost; " +
                     to_text(allowed * 100, Dimension::percentage) + " allowed";
    finding.working = {volts(source_V) + " at the source - " + volts(now_V) +
                       " here = " + volts(source_V - now_V) + ", " +
                       to_text(share * 100, Dimension::percentage) + " of " + volts(source_V)};
    // Where most of it is lost.
    const auto lost_V = [&](EdgeId step) {
        const Edge& each = input.circuit.edge(step);
        return std::abs(point.node_V[each.from.index()] - point.node_V[each.to.index()]);
    };
    std::vector<EdgeId> by_loss;
    for (const EdgeId step : path.edges)
        if (step != id) by_loss.push_back(step);
    std::stable_sort(by_loss.begin(), by_loss.end(),
                     [&](EdgeId a, EdgeId b) { return lost_V(a) > lost_V(b); });
    std::string most;
    for (std::size_t i = 0; i < by_loss.size() && i < 3; ++i) {
        const Edge& each = input.circuit.edge(by_loss[i]);
        const std::string name = each.wire   ? std::string(input.harness.wire(each.wire).name)
                                 : each.part ? std::string(input.harness.part(each.part).name)
                                             : "(direct)";
        most += (i ? ", " : "most of it in ") + name + " " + volts(lost_V(by_loss[i]));
    }
    if (!most.empty()) finding.working.push_back(most);
    finding.figures = {{"drop", share * 100, Dimension::percentage},
                       {"allowed", allowed * 100, Dimension::percentage}};
    finding.source = "policy voltage-drop; ABYC E-11 11.14.2.6: 3 % for critical circuits, 10 % for others";
    finding.help = "thicker or shorter wires where most is lost, or a policy that fits this circuit";
    witnessed(input, finding, point, id);
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (!draws(edge)) continue;
        const OperatingPoint *highest = nullptr, *lowest = nullptr;
        double full_V = 0;
        for (const OperatingPoint& point : input.points) {
            if (!point.usable()) continue;
            const double now_V = fed_V(point, edge);
            if (point.corner == Corner::run_full) {
                if (!highest || now_V > fed_V(*highest, edge)) highest = &point;
                continue;
            }
            if (is_fed(now_V, point.edge_A[i]) && (!lowest || now_V < fed_V(*lowest, edge))) lowest = &point;
        }
        if (highest) full_V = fed_V(*highest, edge);
        if (highest && judge_high(input, EdgeId(i), *highest, report)) continue;
        if (lowest && judge_low(input, EdgeId(i), *lowest, full_V, report)) continue;
        if (lowest) judge_drop(input, EdgeId(i), *lowest, report);
    }
}

}  // namespace

extern const RuleFamily supply_voltage;
const RuleFamily supply_voltage{infos, run};

}  // namespace loomward::rules
