#include "checker/circuit/flow.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/boykov_kolmogorov_max_flow.hpp>

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double as_good_as_infinite = 1e12;  // inside a flow; far above any sum of real ratings

struct Adjacency {
    std::vector<std::uint32_t> start;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> next;  // edge, other vertex
};

Adjacency adjacency_of(std::uint32_t vertex_count, const std::vector<FlowEdge>& edges) {
    Adjacency adjacency;
    adjacency.start.assign(vertex_count + 1, 0);
    for (const FlowEdge& edge : edges) {
        if (edge.a == edge.b) continue;
        ++adjacency.start[edge.a + 1];
        ++adjacency.start[edge.b + 1];
    }
    for (std::uint32_t i = 0; i < vertex_count; ++i) adjacency.start[i + 1] += adjacency.start[i];
    adjacency.next.resize(adjacency.start.back());
    std::vector<std::uint32_t> place(adjacency.start.begin(), adjacency.start.end() - 1);
    for (std::uint32_t i = 0; i < edges.size(); ++i) {
        if (edges[i].a == edges[i].b) continue;
        adjacency.next[place[edges[i].a]++] = {i, edges[i].b};
        adjacency.next[place[edges[i].b]++] = {i, edges[i].a};
    }
    return adjacency;
}

using Traits = boost::adjacency_list_traits<boost::vecS, boost::vecS, boost::directedS>;
using Graph = boost::adjacency_list<
    boost::vecS, boost::vecS, boost::directedS,
    boost::property<boost::vertex_index_t, long,
                    boost::property<boost::vertex_color_t, boost::default_color_type,
                                    boost::property<boost::vertex_distance_t, long,
                                                    boost::property<boost::vertex_predecessor_t,
                                                                    Traits::edge_descriptor>>>>,
    boost::property<boost::edge_capacity_t, double,
                    boost::property<boost::edge_residual_capacity_t, double,
                                    boost::property<boost::edge_reverse_t, Traits::edge_descriptor>>>>;

Traits::edge_descriptor add_edge(Graph& graph, std::size_t a, std::size_t b) {
    const auto reverse = boost::get(boost::edge_reverse, graph);
    const auto there = boost::add_edge(a, b, graph).first;
    const auto back = boost::add_edge(b, a, graph).first;
    reverse[there] = back;
    reverse[back] = there;
    return there;
}

void set_capacities(Graph& graph, Traits::edge_descriptor edge, double there, double back) {
    const auto capacity = boost::get(boost::edge_capacity, graph);
    capacity[edge] = std::min(there, as_good_as_infinite);
    capacity[boost::get(boost::edge_reverse, graph)[edge]] = std::min(back, as_good_as_infinite);
}

// The flow, and what the residual graph still reaches from its beginning; that is empty where it is infinite.
double flow_between(Graph& graph, std::size_t from, std::size_t to, std::vector<bool>& reached) {
    const double flow = boost::boykov_kolmogorov_max_flow(graph, from, to);
    reached.clear();
    if (flow >= as_good_as_infinite / 2) return infinite;
    const auto residual = boost::get(boost::edge_residual_capacity, graph);
    reached.assign(boost::num_vertices(graph), false);
    std::vector<std::size_t> queue{from};
    reached[from] = true;
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const auto edge : boost::make_iterator_range(boost::out_edges(queue[head], graph))) {
            const std::size_t other = boost::target(edge, graph);
            if (reached[other] || residual[edge] <= 1e-9) continue;
            reached[other] = true;
            queue.push_back(other);
        }
    return flow;
}

// Whether an edge lies in the cut behind which `reached` ends.
bool is_cut(const FlowEdge& edge, bool a_reached, bool b_reached) {
    if (a_reached == b_reached) return false;
    return (a_reached ? edge.capacity : edge.backwards()) > 0;
}

// One block with loops: local vertex numbers, and a flow to each of them.
class BlockFlow {
  public:
    BlockFlow(std::uint32_t entry, const std::vector<std::uint32_t>& edges_here,
              const std::vector<FlowEdge>& edges)
        : edges_here_(edges_here), edges_(edges) {
        vertices_.push_back(entry);
        for (const std::uint32_t id : edges_here) {
            vertices_.push_back(edges[id].a);
            vertices_.push_back(edges[id].b);
        }
        std::sort(vertices_.begin() + 1, vertices_.end());
        vertices_.erase(std::unique(vertices_.begin() + 1, vertices_.end()), vertices_.end());
        vertices_.erase(std::find(vertices_.begin() + 1, vertices_.end(), entry));
    }
    const std::vector<std::uint32_t>& vertices() const { return vertices_; }  // the entry first

    FlowBound bound_of(std::uint32_t vertex) const {
        Graph graph(vertices_.size());
        for (const std::uint32_t id : edges_here_)
            set_capacities(graph, add_edge(graph, local(edges_[id].a), local(edges_[id].b)),
                           edges_[id].capacity, edges_[id].backwards());
        FlowBound bound;
        std::vector<bool> reached;
        bound.capacity = flow_between(graph, 0, local(vertex), reached);
        if (bound.capacity == infinite || bound.capacity <= 0) return bound;
        for (const std::uint32_t id : edges_here_)
            if (is_cut(edges_[id], reached[local(edges_[id].a)], reached[local(edges_[id].b)]))
                bound.cut.push_back(id);
        std::sort(bound.cut.begin(), bound.cut.end());
        return bound;
    }

  private:
    std::size_t local(std::uint32_t vertex) const {
        if (vertex == vertices_[0]) return 0;
        return static_cast<std::size_t>(std::lower_bound(vertices_.begin() + 1, vertices_.end(), vertex) -
                                        vertices_.begin());
    }
    const std::vector<std::uint32_t>& edges_here_;
    const std::vector<FlowEdge>& edges_;
    std::vector<std::uint32_t> vertices_;
};

}  // namespace

Blocks find_blocks(std::uint32_t root, std::uint32_t vertex_count, const std::vector<FlowEdge>& edges) {
    struct Frame {
        std::uint32_t vertex, arrived_by, next;
    };
    const Adjacency adjacency = adjacency_of(vertex_count, edges);
    Blocks blocks;
    blocks.block_of_edge.assign(edges.size(), not_there);
    std::vector<std::uint32_t> entered(vertex_count, 0), lowest(vertex_count, 0), open_edges;
    std::vector<bool> taken(edges.size(), false);
    std::uint32_t clock = 1;
    std::vector<Frame> stack{{root, not_there, adjacency.start[root]}};
    entered[root] = lowest[root] = clock;
    while (!stack.empty()) {
        Frame& top = stack.back();
        if (top.next < adjacency.start[top.vertex + 1]) {
            const auto [edge, other] = adjacency.next[top.next++];
            if (taken[edge]) continue;
            taken[edge] = true;
            open_edges.push_back(edge);
            if (entered[other] != 0) {
                lowest[top.vertex] = std::min(lowest[top.vertex], entered[other]);
                continue;
            }
            entered[other] = lowest[other] = ++clock;
            stack.push_back({other, edge, adjacency.start[other]});
            continue;
        }
        const Frame done = top;
        stack.pop_back();
        if (stack.empty()) break;
        const std::uint32_t below = stack.back().vertex;
        lowest[below] = std::min(lowest[below], lowest[done.vertex]);
        if (lowest[done.vertex] < entered[below]) continue;
        std::vector<std::uint32_t> block;
        std::uint32_t edge;
        do {
            edge = open_edges.back();
            open_edges.pop_back();
            block.push_back(edge);
        } while (edge != done.arrived_by);
        std::sort(block.begin(), block.end());
        blocks.edges_of_block.push_back(std::move(block));
        blocks.entry_of_block.push_back(below);
    }
    // Blocks close from the leaves inwards; a walk from the root wants them the other way round.
    std::reverse(blocks.edges_of_block.begin(), blocks.edges_of_block.end());
    std::reverse(blocks.entry_of_block.begin(), blocks.entry_of_block.end());
    for (std::uint32_t i = 0; i < blocks.edges_of_block.size(); ++i)
        for (const std::uint32_t edge : blocks.edges_of_block[i]) blocks.block_of_edge[edge] = i;
    return blocks;
}

std::vector<std::vector<std::uint32_t>> edges_of_all_blocks(std::uint32_t vertex_count,
                                                            std::vector<FlowEdge> edges) {
    DisjointSets components(vertex_count);
    for (const FlowEdge& edge : edges) components.join(edge.a, edge.b);
    // find_blocks walks what its root reaches: one more vertex that reaches each component once.
    const std::size_t given = edges.size();
    std::vector<bool> has_root(vertex_count, false);
    for (std::size_t i = 0; i < given; ++i) {
        const std::size_t component = components.find(edges[i].a);
        if (has_root[component]) continue;
        has_root[component] = true;
        edges.push_back({vertex_count, edges[i].a, 1, 1});
    }
    std::vector<std::vector<std::uint32_t>> blocks =
        find_blocks(vertex_count, vertex_count + 1, edges).edges_of_block;
    for (std::vector<std::uint32_t>& block : blocks)
        std::erase_if(block, [&](std::uint32_t id) { return id >= given; });
    std::erase_if(blocks, [](const std::vector<std::uint32_t>& block) { return block.empty(); });
    return blocks;
}

std::vector<FlowBound> flows_from(std::uint32_t root, std::uint32_t vertex_count,
                                  const std::vector<FlowEdge>& edges) {
    std::vector<FlowBound> bounds(vertex_count);
    bounds[root].capacity = infinite;
    const Blocks blocks = find_blocks(root, vertex_count, edges);
    const auto settle = [&](std::uint32_t vertex, std::uint32_t entry, FlowBound here) {
        bounds[vertex] = here.capacity < bounds[entry].capacity ? std::move(here) : bounds[entry];
    };
    for (std::size_t i = 0; i < blocks.edges_of_block.size(); ++i) {
        const std::uint32_t entry = blocks.entry_of_block[i];
        const auto& here = blocks.edges_of_block[i];
        if (here.size() == 1) {
            const FlowEdge& edge = edges[here[0]];
            const double outward = edge.a == entry ? edge.capacity : edge.backwards();
            const bool finite = outward < as_good_as_infinite / 2;
            settle(
                edge.a == entry ? edge.b : edge.a, entry,
                {finite ? outward : infinite, finite && outward > 0 ? here : std::vector<std::uint32_t>{}});
            continue;
        }
        const BlockFlow block(entry, here, edges);
        for (std::size_t k = 1; k < block.vertices().size(); ++k)
            settle(block.vertices()[k], entry, block.bound_of(block.vertices()[k]));
    }
    return bounds;
}

struct FlowNetwork::Impl {
    Graph graph;
    std::vector<FlowEdge> edges;
    std::vector<Traits::edge_descriptor> descriptors;
    std::vector<bool> reached;
};

FlowNetwork::FlowNetwork(std::uint32_t vertex_count, const std::vector<FlowEdge>& edges)
    : impl_(new Impl{Graph(vertex_count), edges, {}, {}}) {
    for (const FlowEdge& edge : edges) {
        impl_->descriptors.push_back(add_edge(impl_->graph, edge.a, edge.b));
        set_capacities(impl_->graph, impl_->descriptors.back(), edge.capacity, edge.backwards());
    }
}
FlowNetwork::~FlowNetwork() = default;

void FlowNetwork::set(std::uint32_t edge, double capacity, double back) {
    impl_->edges[edge].capacity = capacity;
    impl_->edges[edge].back = back;
    set_capacities(impl_->graph, impl_->descriptors[edge], capacity, back);
}

FlowBound FlowNetwork::between(std::uint32_t from, std::uint32_t to) {
    FlowBound bound;
    bound.capacity = flow_between(impl_->graph, from, to, impl_->reached);
    if (bound.capacity == infinite || bound.capacity <= 0) return bound;
    for (std::uint32_t i = 0; i < impl_->edges.size(); ++i) {
        const FlowEdge& edge = impl_->edges[i];
        if (is_cut(edge, impl_->reached[edge.a], impl_->reached[edge.b])) bound.cut.push_back(i);
    }
    return bound;
}

}  // namespace loomward
