#include "checker/circuit/path.hpp"

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

}  // namespace loomward
