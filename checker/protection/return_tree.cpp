#include "checker/protection/return_tree.hpp"

#include "checker/protection/proof.hpp"

namespace loomward {

ReturnTree::ReturnTree(const Circuit& circuit, const std::vector<bool>& forward,
                       const std::vector<bool>& conducts)
    : node_count_(circuit.node_count()),
      edge_count_(circuit.edges.size()),
      leads_back_(circuit.node_count(), false) {
    const std::uint32_t root = static_cast<std::uint32_t>(node_count_);
    for (std::size_t i = 0; i < edge_count_; ++i) {
        const Edge& edge = circuit.edges[i];
        if (is_source(edge.role)) {
            if (forward[edge.from.index()]) continue;
            edges_.push_back({root, edge.from.value, 1});
            circuit_edge_.push_back(EdgeId(i));
        } else if (conducts[i]) {
            if (forward[edge.from.index()] || forward[edge.to.index()]) continue;
            edges_.push_back({edge.from.value, edge.to.value, 1});
            circuit_edge_.push_back(EdgeId(i));
        } else if (edge.role != EdgeRole::panel && edge.role != EdgeRole::panel_input) {
            // Panels and their input are a circuit of their own, wherever else their minus is tied to.
            if (forward[edge.from.index()] && !forward[edge.to.index()])
                loads_.push_back({EdgeId(i), edge.from, edge.to});
            if (forward[edge.to.index()] && !forward[edge.from.index()])
                loads_.push_back({EdgeId(i), edge.to, edge.from});
        }
    }
    blocks_ = find_blocks(root, root + 1, edges_);
    for (const auto& block : blocks_.edges_of_block)
        for (const std::uint32_t edge : block)
            for (const std::uint32_t vertex : {edges_[edge].a, edges_[edge].b})
                if (vertex != root) leads_back_[vertex] = true;
}

}  // namespace loomward
