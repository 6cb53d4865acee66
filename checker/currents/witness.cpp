#include "checker/currents/witness.hpp"

#include <algorithm>
#include <unordered_set>

namespace loomward {
namespace {

constexpr std::size_t most_steps = 24;

Step step_of_edge(const Circuit& circuit, const Edge& edge) {
    const Harness& harness = *circuit.harness;
    if (edge.wire) return {std::string(harness.wire(edge.wire).name), harness.wire(edge.wire).where};
    if (!edge.part) return {"(direct)", {}};
    const Part& part = harness.part(edge.part);
    if (edge.role == EdgeRole::contact)
        return {std::string(harness.terminal(edge.from_terminal).path), part.where};
    return {std::string(part.name), part.where};
}

Step step_of_node(const Circuit& circuit, NodeId node, const Edge& beside) {
    const TerminalId at = beside.from == node ? beside.from_terminal : beside.to_terminal;
    const Terminal& terminal = circuit.harness->terminal(at);
    return {std::string(terminal.path), circuit.harness->part(terminal.part).where};
}

// Where a walk along the current ends: at a source, or a capacitor that gives.
bool ends_at(const Edge& edge, double current_A) {
    return is_source(edge.role) || (edge.role == EdgeRole::capacitor && current_A < 0);
}

constexpr std::size_t longest_path = 4096;

}  // namespace

std::vector<Step> steps_along(const Circuit& circuit, NodeId start, const std::vector<EdgeId>& edges) {
    std::vector<Step> steps;
    if (edges.empty()) {
        const Terminal& terminal = circuit.harness->terminal(circuit.first_terminal[start.index()]);
        return {{std::string(terminal.path), circuit.harness->part(terminal.part).where}};
    }
    steps.push_back(step_of_node(circuit, start, circuit.edge(edges.front())));
    NodeId here = start;
    for (const EdgeId id : edges) {
        const Edge& edge = circuit.edge(id);
        Step step = step_of_edge(circuit, edge);
        // Bolted joints are no news, and a converter is passed once although it has two sides.
        if (edge.role != EdgeRole::joint && step.name != steps.back().name) steps.push_back(std::move(step));
        here = edge.from == here ? edge.to : edge.from;
    }
    steps.push_back(step_of_node(circuit, here, circuit.edge(edges.back())));
    // A part that was passed last and is the place of arrival is not named twice.
    if (steps.size() <= most_steps) return steps;
    const std::size_t left_out = steps.size() - most_steps + 1;
    std::vector<Step> shortened(steps.begin(), steps.begin() + most_steps / 2);
    shortened.push_back({"... (" + std::to_string(left_out) + " more)", {}});
    shortened.insert(shortened.end(), steps.end() - (most_steps / 2 - 1), steps.end());
    return shortened;
}

// The edge that takes the largest current away from the node (into it, with sign -1); invalid: none flows.
EdgeId CurrentTracer::strongest(NodeId node, int sign) {
    const auto [known, fresh] = (sign > 0 ? strongest_out_ : strongest_in_).try_emplace(node.value);
    if (!fresh) return known->second;
    double strongest_A = 1e-9;
    for (const Incidence& next : circuit_.at(node)) {
        const Edge& edge = circuit_.edge(next.edge);
        const double out_A = (edge.from == node ? 1 : -1) * sign * point_.edge_A[next.edge.index()];
        if (out_A <= strongest_A || edge.from == edge.to) continue;
        strongest_A = out_A;
        known->second = next.edge;
    }
    return known->second;
}

// Follows the strongest current away from `node` (downstream, or upstream with sign -1) until a source is
// met.
void CurrentTracer::follow(NodeId node, int sign, std::vector<EdgeId>& edges) {
    std::unordered_set<std::uint32_t> passed;
    while (edges.size() <= longest_path) {
        const EdgeId next = strongest(node, sign);
        if (!next || !passed.insert(next.value).second) return;
        const Edge& edge = circuit_.edge(next);
        if (ends_at(edge, point_.edge_A[next.index()])) return;
        edges.push_back(next);
        node = edge.from == node ? edge.to : edge.from;
    }
}

CurrentPath CurrentTracer::through(EdgeId id) {
    const Edge& edge = circuit_.edge(id);
    const bool forward = point_.edge_A[id.index()] >= 0;
    const NodeId upstream = forward ? edge.from : edge.to;
    const NodeId downstream = forward ? edge.to : edge.from;
    std::vector<EdgeId> before, after;
    follow(downstream, 1, after);
    // Out of a source and round to its other pole, once.
    if (is_source(edge.role)) return {downstream, std::move(after)};
    follow(upstream, -1, before);
    std::reverse(before.begin(), before.end());
    NodeId start = upstream;
    for (std::size_t i = before.size(); i-- > 0;) {
        const Edge& each = circuit_.edge(before[i]);
        start = each.from == start ? each.to : each.from;
    }
    before.push_back(id);
    before.insert(before.end(), after.begin(), after.end());
    return {start, std::move(before)};
}

CurrentPath trace_current(const Circuit& circuit, const OperatingPoint& point, EdgeId through) {
    return CurrentTracer(circuit, point).through(through);
}

std::vector<Step> current_path(const Circuit& circuit, const OperatingPoint& point, EdgeId edge) {
    const CurrentPath path = trace_current(circuit, point, edge);
    return steps_along(circuit, path.start, path.edges);
}

}  // namespace loomward
