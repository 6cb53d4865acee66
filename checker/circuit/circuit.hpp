// The harness as a graph: nodes are electrical points, edges are conducting elements. Topology only; what
// each edge resists, drives or draws at a corner of a mode is worked out in checker/elements.
#pragma once
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "checker/circuit/roles.hpp"
#include "parser/harness.hpp"

namespace loomward {

struct Edge {
    EdgeRole role{};
    NodeId from;
    NodeId to;
    TerminalId from_terminal;
    TerminalId to_terminal;
    PartId part;            // invalid for wires and joints
    WireId wire;            // valid for wires
    std::uint16_t way = 0;  // contact, pole, section: see the role
    std::uint16_t throw_ =
        0;  // change-over contact: 0 closes when energised / selector: position index bits elsewhere
};

// Some edge seen from a node.
struct Incidence {
    EdgeId edge;
    NodeId other;
};

struct Circuit {
    const Harness* harness = nullptr;        // outlives the circuit
    std::vector<NodeId> node_of_terminal;    // by TerminalId
    std::vector<TerminalId> first_terminal;  // by NodeId: the one the node is named after (order of names)
    std::vector<Edge> edges;                 // parts, wires, joints, each in the order of their names
    std::vector<std::uint32_t> incidence_start;  // by NodeId, one more entry at the end
    std::vector<Incidence> incidences;
    std::vector<std::uint32_t> island_of_node;       // by NodeId, every switch and contact counted as closed
    std::vector<EdgeId> edge_of_wire;                // by WireId
    std::vector<std::vector<EdgeId>> edges_of_part;  // by PartId

    std::size_t node_count() const { return first_terminal.size(); }
    const Edge& edge(EdgeId id) const { return edges[id.index()]; }
    std::span<const Incidence> at(NodeId node) const {
        return std::span(incidences)
            .subspan(incidence_start[node.index()],
                     incidence_start[node.index() + 1] - incidence_start[node.index()]);
    }
    NodeId node(TerminalId terminal) const { return node_of_terminal[terminal.index()]; }
};

// Merges points joined without resistance (bars, bridged ways, a common minus, return pins, chained ports)
// and makes the edges. Never fails: whatever the text allows has a graph.
Circuit build_circuit(const Harness& harness);

}  // namespace loomward
