#include "checker/circuit/panel_strings.hpp"

#include <algorithm>

#include "checker/circuit/flow.hpp"
#include "checker/circuit/ways.hpp"

namespace loomward {

PanelStrings::PanelStrings(const Circuit& circuit, std::vector<double> open_circuit_V,
                           const std::function<bool(EdgeId)>& passes)
    : circuit_(circuit), open_circuit_V_(std::move(open_circuit_V)) {
    for (const EdgeRole role : {EdgeRole::panel, EdgeRole::diode})
        for (std::size_t i = 0; i < circuit.edges.size(); ++i)
            if (circuit.edges[i].role == role) steps_.emplace_back(i);
    if (steps_.empty() || circuit.edge(steps_.front()).role != EdgeRole::panel) return;
    DisjointSets conducting =
        pieces(circuit, [&](EdgeId id) { return is_conductor(circuit.edge(id).role) && passes(id); });
    for (std::size_t i = 0; i < circuit.node_count(); ++i)
        zone_.push_back(static_cast<std::uint32_t>(conducting.find(i)));
}

// From every point reached so far over the panels and diodes that leave it, until nothing gets any higher.
void PanelStrings::follow(std::vector<Best>& best) const {
    bool changed = true;
    for (std::size_t pass = 0; changed && pass <= steps_.size(); ++pass) {
        changed = false;
        for (const EdgeId id : steps_) {
            const Edge& edge = circuit_.edge(id);
            const Best from = best[zone(edge.from)];
            Best& to = best[zone(edge.to)];
            const std::vector<EdgeId>& passed = from.string.panels;
            if (!from.reached || std::find(passed.begin(), passed.end(), id) != passed.end()) continue;
            Best next = from;
            next.string.open_circuit_V += open_circuit_V_[id.index()];
            if (edge.role == EdgeRole::panel) next.string.panels.push_back(id);
            if (to.reached && next.string.open_circuit_V <= to.string.open_circuit_V + 1e-9) continue;
            to = std::move(next);
            changed = true;
        }
    }
}

PanelString PanelStrings::between(NodeId minus, NodeId plus) const {
    if (zone_.empty()) return {};
    std::vector<Best> best(circuit_.node_count());
    best[zone(minus)].reached = true;
    follow(best);
    return best[zone(plus)].string;
}

PanelString PanelStrings::up_to(NodeId plus) const {
    if (zone_.empty()) return {};
    std::vector<Best> best(circuit_.node_count(), Best{true, {}});
    follow(best);
    return best[zone(plus)].string;
}

std::vector<bool> panel_loops(const Circuit& circuit, const std::function<bool(EdgeId)>& passes) {
    std::vector<bool> driven(circuit.edges.size(), false);
    std::vector<FlowEdge> edges;
    std::vector<EdgeId> edge_at, panels;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const bool part_of_it = is_conductor(edge.role)
                                    ? passes(EdgeId(i))
                                    : edge.role == EdgeRole::panel || one_way(edge.role) ||
                                          edge.role == EdgeRole::panel_input || uses_power(edge.role);
        if (!part_of_it) continue;
        if (edge.role == EdgeRole::panel) panels.emplace_back(i);
        edges.push_back({edge.from.value, edge.to.value, 1, 1});
        edge_at.emplace_back(i);
    }
    for (const EdgeId panel : panels) {
        if (driven[panel.index()]) continue;
        const Blocks blocks = find_blocks(circuit.edge(panel).from.value,
                                          static_cast<std::uint32_t>(circuit.node_count()), edges);
        for (const std::vector<std::uint32_t>& block : blocks.edges_of_block) {
            const auto holds = [&](auto wanted) {
                return std::any_of(block.begin(), block.end(), [&](std::uint32_t each) {
                    return wanted(circuit.edge(edge_at[each]).role);
                });
            };
            if (!holds([](EdgeRole role) { return role == EdgeRole::panel; })) continue;
            if (!holds([](EdgeRole role) { return role == EdgeRole::panel_input || uses_power(role); }))
                continue;
            for (const std::uint32_t each : block) driven[edge_at[each].index()] = true;
        }
    }
    return driven;
}

}  // namespace loomward
