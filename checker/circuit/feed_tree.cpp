#include "checker/circuit/feed_tree.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/flow.hpp"

namespace loomward {
namespace {

bool leads(EdgeRole role) {
    return is_conductor(role) || role == EdgeRole::diode || role == EdgeRole::emf;
}

// What hangs together over what leads, and which of it a pack feeds.
struct Pieces {
    DisjointSets joined;
    std::vector<bool> has_pack;
    Pieces(const Circuit& circuit, const std::vector<bool>& open)
        : joined(circuit.node_count()), has_pack(circuit.node_count(), false) {
        for (std::size_t i = 0; i < circuit.edges.size(); ++i)
            if (const Edge& edge = circuit.edges[i]; leads(edge.role) && !open[i])
                joined.join(edge.from.index(), edge.to.index());
        for (const Edge& edge : circuit.edges)
            if (edge.role == EdgeRole::emf) has_pack[joined.find(edge.from.index())] = true;
    }
    bool fed(NodeId node) { return has_pack[joined.find(node.index())]; }
};

// What hangs together over conductors alone, and which of it is the foot of a string: the minus of a pack
// that stands on no other.
struct Feet {
    DisjointSets joined;
    std::vector<bool> on_a_pack;
    std::vector<NodeId> nodes;
    std::vector<bool> is_foot;  // by piece
    Feet(const Circuit& circuit, const std::vector<bool>& open)
        : joined(circuit.node_count()),
          on_a_pack(circuit.node_count(), false),
          is_foot(circuit.node_count(), false) {
        for (std::size_t i = 0; i < circuit.edges.size(); ++i)
            if (const Edge& edge = circuit.edges[i]; is_conductor(edge.role) && !open[i])
                joined.join(edge.from.index(), edge.to.index());
        for (const Edge& edge : circuit.edges)
            if (edge.role == EdgeRole::emf) on_a_pack[joined.find(edge.to.index())] = true;
        for (const Edge& edge : circuit.edges) {
            if (edge.role != EdgeRole::emf || on_a_pack[joined.find(edge.from.index())]) continue;
            nodes.push_back(edge.from);
            is_foot[joined.find(edge.from.index())] = true;
        }
    }
    // A diode from the lowest potential to any other: it blocks whatever feeds the circuit, as one across a
    // coil does.
    bool blocks(const Edge& edge) {
        const std::size_t anode = joined.find(edge.from.index()), cathode = joined.find(edge.to.index());
        return edge.role == EdgeRole::diode && is_foot[anode] && !is_foot[cathode];
    }
};

}  // namespace

FeedTree::FeedTree(const Circuit& circuit, const std::vector<bool>& open)
    : reached_(circuit.node_count(), false), to_(circuit.node_count(), -1), from_(circuit.node_count()) {
    const auto root = static_cast<std::uint32_t>(circuit.node_count());
    std::vector<FlowEdge> edges;
    std::vector<EdgeId> circuit_edge;
    Pieces pieces(circuit, open);
    Feet feet(circuit, open);
    std::vector<NodeId> begins = feet.nodes;
    // A converter or charger takes the place of the pack for what no pack feeds.
    const auto begins_there = [&](const Edge& edge) {
        return (edge.role == EdgeRole::converter_output || edge.role == EdgeRole::charger) &&
               !pieces.fed(edge.to);
    };
    for (const Edge& edge : circuit.edges)
        if (begins_there(edge) && !pieces.fed(edge.from)) begins.push_back(edge.from);
    std::sort(begins.begin(), begins.end());
    begins.erase(std::unique(begins.begin(), begins.end()), begins.end());
    for (const NodeId node : begins) {
        edges.push_back({root, node.value, 0});
        circuit_edge.emplace_back();
    }
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!(leads(edge.role) || begins_there(edge)) || open[i] || edge.from == edge.to || feet.blocks(edge))
            continue;
        edges.push_back({edge.from.value, edge.to.value, 0});
        circuit_edge.push_back(EdgeId(i));
    }
    const Blocks blocks = find_blocks(root, root + 1, edges);
    for (std::size_t i = 0; i < blocks.edges_of_block.size(); ++i) {
        Branch branch;
        const std::uint32_t entry = blocks.entry_of_block[i];
        if (entry != root) branch.above = NodeId(std::size_t{entry});
        for (const std::uint32_t edge : blocks.edges_of_block[i]) {
            if (circuit_edge[edge]) branch.edges.push_back(circuit_edge[edge]);
            for (const std::uint32_t end : {edges[edge].a, edges[edge].b})
                if (end != entry) branch.below.push_back(NodeId(std::size_t{end}));
        }
        std::sort(branch.below.begin(), branch.below.end());
        branch.below.erase(std::unique(branch.below.begin(), branch.below.end()), branch.below.end());
        const auto number = static_cast<std::uint32_t>(branches_.size());
        if (branch.above) from_[branch.above.index()].push_back(number);
        for (const NodeId node : branch.below) {
            to_[node.index()] = static_cast<std::int32_t>(number);
            reached_[node.index()] = true;
        }
        branches_.push_back(std::move(branch));
    }
}

std::vector<double> FeedTree::behind(const std::vector<double>& at_node) const {
    std::vector<double> sum = at_node, of_branch(branches_.size(), 0);
    for (std::size_t i = branches_.size(); i-- > 0;) {
        for (const NodeId node : branches_[i].below) of_branch[i] += sum[node.index()];
        if (branches_[i].above) sum[branches_[i].above.index()] += of_branch[i];
    }
    return of_branch;
}

}  // namespace loomward
