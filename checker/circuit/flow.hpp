// Maximum flow from one vertex to every other, and the cut behind each: block by block. And between two
// vertices of a graph that is asked many times.
#pragma once
#include <cstdint>
#include <limits>
#include <memory>
#include <vector>

namespace loomward {

// In place of the number of a vertex, an edge or a block that is not there.
inline constexpr std::uint32_t not_there = std::numeric_limits<std::uint32_t>::max();

struct FlowEdge {
    std::uint32_t a = 0;
    std::uint32_t b = 0;
    double capacity = 0;  // from a to b, and back as well where `back` says nothing; may be infinite
    double back = -1;     // from b to a; negative: as much as there

    double backwards() const { return back < 0 ? capacity : back; }
};

struct FlowBound {
    double capacity = 0;             // 0: not reached
    std::vector<std::uint32_t> cut;  // indexes of edges, rising; empty where infinite or not reached
    double other_way = 0;            // of a conductor that flows either way: the bound of the lesser way
};

// Bounds of all vertices from `root`. Edges with equal ends are ignored. Near linear for graphs that are
// mostly trees; inside a block with loops one flow (Boykov-Kolmogorov) a vertex.
std::vector<FlowBound> flows_from(std::uint32_t root, std::uint32_t vertex_count,
                                  const std::vector<FlowEdge>& edges);

// One graph, many questions: the largest flow between two vertices, with capacities changed in between.
class FlowNetwork {
  public:
    FlowNetwork(std::uint32_t vertex_count, const std::vector<FlowEdge>& edges);
    ~FlowNetwork();
    FlowNetwork(const FlowNetwork&) = delete;
    FlowNetwork& operator=(const FlowNetwork&) = delete;

    void set(std::uint32_t edge, double capacity, double back);
    // Cuts nearest to `from`, as indexes of edges.
    FlowBound between(std::uint32_t from, std::uint32_t to);

  private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

// Biconnected blocks, for those who walk them: block of each edge, and for each vertex the edge towards the
// root.
struct Blocks {
    std::vector<std::uint32_t>
        block_of_edge;  // `not_there` for edges with equal ends or not reached from the root
    std::vector<std::vector<std::uint32_t>>
        edges_of_block;                         // in an order in which a block's entry comes before it
    std::vector<std::uint32_t> entry_of_block;  // the vertex nearest to the root
};
Blocks find_blocks(std::uint32_t root, std::uint32_t vertex_count, const std::vector<FlowEdge>& edges);
// The blocks of every component, whatever the capacities; only of the edges that are given.
std::vector<std::vector<std::uint32_t>> edges_of_all_blocks(std::uint32_t vertex_count,
                                                            std::vector<FlowEdge> edges);

}  // namespace loomward
