#include "checker/own_findings.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

namespace loomward {
namespace {

constexpr double more_than_one = 1.05;  // of the largest consumer: standbys and coils do not make a sum

// Currents of a mode: what flows in each edge at most, over its corners and intervals.
struct Flows {
    std::vector<double> most_A;  // by EdgeId
    double largest_A = 0;        // of one consumer or one charger
};

Flows flows_in(const Results& results, ModeId mode) {
    const Circuit& circuit = results.circuit;
    Flows flows{std::vector<double>(circuit.edges.size(), 0)};
    for (const OperatingPoint& point : results.points) {
        if (point.mode != mode || point.edge_A.empty()) continue;
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const double amps = std::abs(point.edge_A[i]);
            flows.most_A[i] = std::max(flows.most_A[i], amps);
            const EdgeRole role = circuit.edges[i].role;
            if (uses(role) || role == EdgeRole::charger) flows.largest_A = std::max(flows.largest_A, amps);
        }
    }
    return flows;
}

double flow_at(const Results& results, const Flows& flows, PartId part, WireId wire) {
    if (wire) return flows.most_A[results.circuit.edge_of_wire[wire.index()].index()];
    double most_A = 0;
    if (part)
        for (const EdgeId edge : results.circuit.edges_of_part[part.index()])
            most_A = std::max(most_A, flows.most_A[edge.index()]);
    return most_A;
}

// Of a finding about a current, what flows in the thing it is about; of one about a voltage, what flows on
// the way there, which makes it drop.
double judged_A(const Results& results, const Flows& flows, const Finding& finding) {
    double most_A = flow_at(results, flows, finding.part, finding.wire);
    const bool of_current =
        std::any_of(finding.figures.begin(), finding.figures.end(),
                    [](const Figure& figure) { return figure.dimension == Dimension::current; });
    if (of_current) return most_A;
    for (const Step& step : finding.witness)
        if (const auto wire = results.harness->find_wire(step.name))
            most_A = std::max(most_A, flow_at(results, flows, {}, *wire));
    return most_A;
}

// By island of the circuit: motor leads of a controller hang on it, so that what flows there are phase
// currents.
std::vector<bool> phase_islands(const Circuit& circuit) {
    std::vector<bool> islands(circuit.node_count(), false);
    for (std::size_t i = 0; i < circuit.harness->terminals.size(); ++i) {
        const Terminal& terminal = circuit.harness->terminals[i];
        if (is_motor_lead(terminal.role) && circuit.harness->part(terminal.part).kind == Kind::controller)
            islands[circuit.island_of_node[circuit.node(TerminalId(i)).index()]] = true;
    }
    return islands;
}

bool carries_phases(const Circuit& circuit, const std::vector<bool>& islands, const Finding& finding) {
    if (finding.wire) {
        const Edge& edge = circuit.edge(circuit.edge_of_wire[finding.wire.index()]);
        return islands[circuit.island_of_node[edge.from.index()]];
    }
    if (!finding.part || circuit.harness->part(finding.part).kind == Kind::controller) return false;
    const Slice terminals = circuit.harness->part(finding.part).terminals;
    for (std::uint32_t i = 0; i < terminals.count; ++i)
        if (islands[circuit
                        .island_of_node[circuit.node(TerminalId(std::size_t{terminals.first + i})).index()]])
            return true;
    return false;
}

void lower(Finding& finding, Severity severity, std::string because) {
    if (finding.severity >= severity) return;
    finding.severity = severity;
    finding.working.push_back(std::move(because));
}

}  // namespace

void judge_own_modes(Results& results) {
    const std::vector<Mode>& modes = results.harness->modes;
    if (modes.empty() || !modes.front().own) return;
    const std::vector<bool> phases = phase_islands(results.circuit);
    std::map<ModeId, Flows> flows;
    for (Finding& finding : results.findings) {
        if (!finding.mode || finding.severity != Severity::error) continue;
        if (finding.rule == "not-solved" || finding.rule == "mode-contradicts") {
            lower(finding, Severity::note, "the mode was made by the program: no fault of the text");
            continue;
        }
        // A harness does stand at rest. And a contact closes onto capacitors whatever else is on; whether
        // they may be charged by then is looked at by the rule.
        if (finding.mode == ModeId(std::size_t{0}) || finding.rule == "no-precharge") continue;
        if (carries_phases(results.circuit, phases, finding)) {
            lower(
                finding, Severity::warning,
                "for as long as the drive is at its phase limit, and nobody says how long that is: an error "
                "in a mode that says so");
            continue;
        }
        const auto known = flows.find(finding.mode);
        const Flows& here = known != flows.end()
                                ? known->second
                                : flows.emplace(finding.mode, flows_in(results, finding.mode)).first->second;
        if (finding.rule == "cannot-be-fed" ||
            judged_A(results, here, finding) > more_than_one * here.largest_A)
            lower(finding, Severity::warning,
                  "it takes several at once, and nobody says that they run together: an error in a mode that "
                  "says so");
    }
}

void say_own_modes(const Harness& harness, const std::vector<LeftAtRest>& left,
                   std::vector<Assumption>& assumptions) {
    if (harness.modes.empty() || !harness.modes.front().own) return;
    std::string names;
    for (const Mode& mode : harness.modes)
        names += (names.empty() ? "" : mode.name == "charging" ? ", " : ", with ") + std::string(mode.name);
    std::vector<Assumption> lines{
        {"modes", "none are stated; judged " + names, "common practice, no source", {"the harness"}}};
    const auto say = [&](std::string value, std::string_view user) {
        const auto same = std::find_if(lines.begin(), lines.end(),
                                       [&](const Assumption& line) { return line.value == value; });
        if (same != lines.end())
            same->used_by.emplace_back(user);
        else
            lines.push_back(
                {"modes: left at rest", std::move(value), "common practice, no source", {std::string(user)}});
    };
    for (const LeftAtRest& each : left)
        say(each.shorts
                ? "closed with everything else it would short " + std::string(harness.part(each.shorts).name)
                : "with everything on its coil gets no voltage",
            harness.part(each.part).name);
    assumptions.insert(assumptions.end(), std::make_move_iterator(lines.begin()),
                       std::make_move_iterator(lines.end()));
    std::stable_sort(assumptions.begin(), assumptions.end(), [](const Assumption& a, const Assumption& b) {
        return std::tie(a.what, a.value) < std::tie(b.what, b.value);
    });
}

}  // namespace loomward
