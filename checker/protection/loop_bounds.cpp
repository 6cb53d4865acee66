#include "checker/protection/loop_bounds.hpp"

#include <unordered_map>

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {
namespace {

// Beyond this a wire in a loop keeps the bound of all that reaches it from either end: larger, on the safe
// side.
constexpr std::size_t largest_refined_block = 3000;

// What some source's plus reaches, point by point, with one vertex for all returns; plain returns are no more
// than that vertex.
struct FedNetwork {
    std::uint32_t root = 0;
    std::vector<FlowEdge> edges;
    std::vector<EdgeId> edge_of;  // of the circuit, by edge
    std::vector<bool> joins;      // by edge: a plain conductor
};

class LoopRefiner {
  public:
    LoopRefiner(const GuardNetwork& network, const GuardView& view)
        : network_(network), circuit_(network.circuit()), view_(view) {
        collect();
    }
    template <class Keep>
    void refine(const std::vector<FlowBound>& zones, const Keep& keep) {
        const Blocks blocks = find_blocks(fed_.root, fed_.root + 1, fed_.edges);
        for (std::size_t block = 0; block < blocks.edges_of_block.size(); ++block) {
            const auto& here = blocks.edges_of_block[block];
            if (here.size() == 1 || here.size() > largest_refined_block) continue;
            const std::uint32_t entry = blocks.entry_of_block[block];
            const FlowBound& of_entry =
                zones[entry == fed_.root ? network_.return_vertex() : network_.zone(NodeId(entry))];
            for (const std::uint32_t id : here)
                if (circuit_.edge(fed_.edge_of[id]).wire)
                    keep(fed_.edge_of[id], refined(id, here, entry, of_entry));
        }
    }

  private:
    std::uint32_t vertex(NodeId node) {
        if (network_.is_return(node)) return fed_.root;
        if (network_.forward(node)) return node.value;
        return first_of_zone_.try_emplace(network_.zone(node), node.value).first->second;
    }
    void collect() {
        fed_.root = static_cast<std::uint32_t>(circuit_.node_count());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const EdgeId id(i);
            const bool source = is_source(edge.role);
            const double there = source ? network_.source_A(id, view_) : network_.chafed_there_A(id, view_);
            const double back = source ? 0 : network_.chafed_back_A(id, view_);
            const std::uint32_t a = network_.is_shorted(id) ? fed_.root : vertex(edge.from),
                                b = vertex(edge.to);
            if (a == b || (there <= 0 && back <= 0)) continue;
            if (!source && network_.forward(edge.from) != network_.forward(edge.to)) continue;
            fed_.edges.push_back({a, b, there, back});
            fed_.edge_of.push_back(id);
            fed_.joins.push_back(!source && there == unbounded_A && back == unbounded_A);
        }
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
            if (id != wire && fed_.joins[id]) joined.join(number(edges[id].a), number(edges[id].b));
        const auto vertex = [&](std::uint32_t of) {
            return static_cast<std::uint32_t>(joined.find(number(of)));
        };
        std::vector<FlowEdge> contracted;
        for (const std::uint32_t id : block) {
            // As a loop on its own vertex the wire itself counts for nothing.
            const std::uint32_t a = vertex(edges[id].a), b = id == wire ? a : vertex(edges[id].b);
            contracted.push_back({a, b, edges[id].capacity, edges[id].backwards()});
        }
        FlowNetwork flows(static_cast<std::uint32_t>(local.size()), contracted);
        FlowBound worst;
        for (const std::uint32_t end : {edges[wire].a, edges[wire].b}) {
            // An end that the block's entry reaches without a device has what the entry has.
            if (vertex(end) == vertex(entry)) return of_entry;
            FlowBound here = flows.between(vertex(entry), vertex(end));
            const double lesser = std::min(here.capacity, worst.capacity);
            if (here.capacity > worst.capacity) worst = std::move(here);
            worst.other_way = lesser;
        }
        for (std::uint32_t& id : worst.cut) id = fed_.edge_of[block[id]].value;
        return of_entry.capacity < worst.capacity ? of_entry : worst;
    }

    const GuardNetwork& network_;
    const Circuit& circuit_;
    GuardView view_;
    FedNetwork fed_;
    std::unordered_map<std::uint32_t, std::uint32_t> first_of_zone_;  // to be looked up only
};

}  // namespace

void bound_loops(const GuardNetwork& network, const GuardView& view, const std::vector<FlowBound>& chafed,
                 const std::function<void(EdgeId wire, FlowBound bound)>& keep) {
    LoopRefiner(network, view).refine(chafed, keep);
}

}  // namespace loomward
