#include "checker/protection/loop_bounds.hpp"

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {
namespace {

// Beyond this a wire in a loop keeps the bound of all that reaches it from either end: larger, on the safe
// side.
constexpr std::size_t largest_refined_block = 3000;

// What some source's plus reaches, point by point, with one vertex more for all sources.
struct FedNetwork {
    std::uint32_t root = 0;
    std::vector<FlowEdge> edges;
    std::vector<EdgeId> edge_of;  // of the circuit, by edge
};

class LoopRefiner {
  public:
    LoopRefiner(const GuardNetwork& network, const std::vector<bool>& forward_zone, bool electronics)
        : network_(network), circuit_(network.circuit()), electronics_(electronics) {
        collect(forward_zone);
    }
    // Calls `keep(wire's edge, bound)` for each wire on a loop.
    template <class Keep>
    void refine(Keep keep) {
        const Blocks blocks = find_blocks(fed_.root, fed_.root + 1, fed_.edges);
        const std::vector<FlowBound> entries = in_circuit_edges(flows_by_node(), fed_.edge_of);
        for (std::size_t block = 0; block < blocks.edges_of_block.size(); ++block) {
            const auto& here = blocks.edges_of_block[block];
            if (here.size() == 1 || here.size() > largest_refined_block) continue;
            const std::uint32_t entry = blocks.entry_of_block[block];
            for (const std::uint32_t id : here)
                if (circuit_.edge(fed_.edge_of[id]).wire)
                    keep(fed_.edge_of[id], refined(id, here, entry, entries[entry]));
        }
    }

  private:
    void collect(const std::vector<bool>& forward_zone) {
        fed_.root = static_cast<std::uint32_t>(circuit_.node_count());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const bool source = is_source(edge.role);
            const double capacity =
                source ? network_.source_A(edge) : network_.capacity_A(EdgeId(i), electronics_);
            if (capacity < 0 || !forward_zone[network_.zone(edge.to)] ||
                (!source && !forward_zone[network_.zone(edge.from)]))
                continue;
            fed_.edges.push_back({source ? fed_.root : edge.from.value, edge.to.value, capacity});
            fed_.edge_of.push_back(EdgeId(i));
        }
    }
    // Bounds by node, worked out by zone: nodes that plain conductors join share theirs.
    std::vector<FlowBound> flows_by_node() const {
        const std::uint32_t zones = network_.zone_count();
        std::vector<FlowEdge> between = fed_.edges;
        for (FlowEdge& edge : between) {
            edge.a = edge.a == fed_.root ? zones : network_.zone(NodeId(edge.a));
            edge.b = network_.zone(NodeId(edge.b));
        }
        const std::vector<FlowBound> by_zone = flows_from(zones, zones + 1, between);
        std::vector<FlowBound> by_node(fed_.root + 1);
        for (std::uint32_t i = 0; i < fed_.root; ++i) by_node[i] = by_zone[network_.zone(NodeId(i))];
        by_node[fed_.root] = by_zone[zones];
        return by_node;
    }
    // The block with its plain conductors contracted, all but this wire, which stays out.
    FlowBound refined(std::uint32_t wire, const std::vector<std::uint32_t>& block, std::uint32_t entry,
                      const FlowBound& of_entry) const {
        const std::vector<FlowEdge>& edges = fed_.edges;
        std::unordered_map<std::uint32_t, std::uint32_t> local;
        const auto number = [&](std::uint32_t vertex) {
            return local.try_emplace(vertex, static_cast<std::uint32_t>(local.size())).first->second;
        };
        number(entry);
        for (const std::uint32_t id : block) number(edges[id].a), number(edges[id].b);
        DisjointSets joined(local.size());
        for (const std::uint32_t id : block)
            if (id != wire && edges[id].capacity == unbounded_A)
                joined.join(number(edges[id].a), number(edges[id].b));
        const auto vertex = [&](std::uint32_t of) {
            return static_cast<std::uint32_t>(joined.find(number(of)));
        };
        std::vector<FlowEdge> contracted;
        for (const std::uint32_t id : block) {
            // As a loop on its own vertex the wire itself counts for nothing.
            const std::uint32_t a = vertex(edges[id].a), b = id == wire ? a : vertex(edges[id].b);
            contracted.push_back({a, b, id == wire ? 0 : edges[id].capacity});
        }
        const std::vector<FlowBound> flows =
            flows_from(vertex(entry), static_cast<std::uint32_t>(local.size()), contracted);
        FlowBound worst;
        for (const std::uint32_t end : {edges[wire].a, edges[wire].b})
            if (flows[vertex(end)].capacity > worst.capacity) worst = flows[vertex(end)];
        for (std::uint32_t& id : worst.cut) id = fed_.edge_of[block[id]].value;
        return of_entry.capacity < worst.capacity ? of_entry : worst;
    }

    const GuardNetwork& network_;
    const Circuit& circuit_;
    bool electronics_;
    FedNetwork fed_;
};

}  // namespace

std::unordered_map<std::uint32_t, LoopBound> bound_loops(const GuardNetwork& network,
                                                         const std::vector<bool>& forward_zone) {
    std::unordered_map<std::uint32_t, LoopBound> bounds;
    for (const bool electronics : {true, false})
        LoopRefiner(network, forward_zone, electronics).refine([&](EdgeId wire, FlowBound bound) {
            LoopBound& of_wire = bounds[wire.value];
            (electronics ? of_wire.with_electronics : of_wire.without_electronics) = std::move(bound);
        });
    return bounds;
}

}  // namespace loomward
