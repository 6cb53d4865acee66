// Maximum flow from one vertex to every other in an undirected graph, and the cut behind each: block by
// block.
#pragma once
#include <cstdint>
#include <limits>
#include <vector>

namespace loomward {

struct FlowEdge {
    std::uint32_t a = 0;
    std::uint32_t b = 0;
    double capacity = 0;  // either way; may be infinite
};

struct FlowBound {
    double capacity = 0;             // 0: not reached
    std::vector<std::uint32_t> cut;  // indexes of edges, rising; empty where infinite or not reached
};

// Bounds of all vertices from `root`. Edges with equal ends are ignored. Near linear for graphs that are
// mostly trees; inside a block with loops one flow (Boykov-Kolmogorov) a vertex.
std::vector<FlowBound> flows_from(std::uint32_t root, std::uint32_t vertex_count,
                                  const std::vector<FlowEdge>& edges);

// Biconnected blocks, for those who walk them: block of each edge, and for each vertex the edge towards the
// root.
struct Blocks {
    std::vector<std::uint32_t>
        block_of_edge;  // none (max) for edges with equal ends or not reached from the root
    std::vector<std::vector<std::uint32_t>>
        edges_of_block;                         // in an order in which a block's entry comes before it
    std::vector<std::uint32_t> entry_of_block;  // the vertex nearest to the root
};
Blocks find_blocks(std::uint32_t root, std::uint32_t vertex_count, const std::vector<FlowEdge>& edges);

}  // namespace loomward
