#include "checker/solver/network_graph.hpp"

#include <algorithm>
#include <numeric>

namespace loomward {

namespace {

class DisjointSets {
  public:
    explicit DisjointSets(std::size_t size) : parent_(size) { std::iota(parent_.begin(), parent_.end(), 0U); }
    std::uint32_t find(std::uint32_t item) {
        while (parent_[item] != item) {
            parent_[item] = parent_[parent_[item]];
            item = parent_[item];
        }
        return item;
    }
    // The smaller root wins, so that a set is known by its first member.
    void join(std::uint32_t first, std::uint32_t second) {
        first = find(first);
        second = find(second);
        if (first != second) parent_[std::max(first, second)] = std::min(first, second);
    }

  private:
    std::vector<std::uint32_t> parent_;
};

// Branches by node, those of `included` only.
struct Adjacency {
    std::vector<std::uint32_t> start;  // by node, one more entry at the end
    std::vector<std::uint32_t> branch;
};

Adjacency make_adjacency(const Network& network, const std::vector<bool>& included) {
    Adjacency adjacency;
    adjacency.start.assign(network.node_count + 1, 0);
    const auto count = static_cast<std::uint32_t>(network.branches.size());
    for (std::uint32_t index = 0; index < count; ++index) {
        if (!included[index]) continue;
        ++adjacency.start[network.branches[index].from + 1];
        ++adjacency.start[network.branches[index].to + 1];
    }
    std::partial_sum(adjacency.start.begin(), adjacency.start.end(), adjacency.start.begin());
    adjacency.branch.resize(adjacency.start.back());
    std::vector<std::uint32_t> next(adjacency.start.begin(), adjacency.start.end() - 1);
    for (std::uint32_t index = 0; index < count; ++index) {
        if (!included[index]) continue;
        adjacency.branch[next[network.branches[index].from]++] = index;
        adjacency.branch[next[network.branches[index].to]++] = index;
    }
    return adjacency;
}

// Marks every branch whose removal would part its island: depth-first search with its own stack, a branch is
// a bridge when nothing below it reaches back above it.
class BridgeSearch {
  public:
    BridgeSearch(const Network& network, const std::vector<bool>& included)
        : network_(network),
          adjacency_(make_adjacency(network, included)),
          next_(adjacency_.start.begin(), adjacency_.start.end() - 1),
          order_(network.node_count, 0),
          lowest_(network.node_count, 0),
          bridge_(network.branches.size(), false) {}

    std::vector<bool> run() {
        for (std::uint32_t node = 0; node < network_.node_count; ++node) {
            if (order_[node] == 0) walk_from(node);
        }
        return std::move(bridge_);
    }

  private:
    struct Step {
        std::uint32_t node;
        std::uint32_t arrived_by;
    };

    void enter(std::uint32_t node, std::uint32_t arrived_by) {
        order_[node] = lowest_[node] = ++clock_;
        path_.push_back({node, arrived_by});
    }

    void walk_from(std::uint32_t root) {
        enter(root, NetworkGraph::none);
        while (!path_.empty()) {
            const Step here = path_.back();
            if (next_[here.node] == adjacency_.start[here.node + 1]) {
                leave(here);
                continue;
            }
            const std::uint32_t index = adjacency_.branch[next_[here.node]++];
            const Branch& branch = network_.branches[index];
            const std::uint32_t other = branch.from == here.node ? branch.to : branch.from;
            if (index == here.arrived_by || other == here.node) continue;
            if (order_[other] == 0) {
                enter(other, index);
            } else {
                lowest_[here.node] = std::min(lowest_[here.node], order_[other]);
            }
        }
    }

    void leave(Step here) {
        path_.pop_back();
        if (path_.empty()) return;
        const std::uint32_t above = path_.back().node;
        lowest_[above] = std::min(lowest_[above], lowest_[here.node]);
        if (lowest_[here.node] > order_[above]) bridge_[here.arrived_by] = true;
    }

    const Network& network_;
    Adjacency adjacency_;
    std::vector<std::uint32_t> next_;
    std::vector<std::uint32_t> order_;   // 0: not seen yet
    std::vector<std::uint32_t> lowest_;  // earliest node reached from below
    std::vector<bool> bridge_;
    std::vector<Step> path_;
    std::uint32_t clock_ = 0;
};

// Which branches lie on a loop with a source, given which branches are there at all.
std::vector<bool> fed_branches(const Network& network, const std::vector<bool>& included) {
    const std::vector<bool> bridge = BridgeSearch(network, included).run();
    DisjointSets blocks(network.node_count);
    const std::size_t count = network.branches.size();
    for (std::size_t index = 0; index < count; ++index) {
        if (!included[index] || bridge[index]) continue;
        blocks.join(network.branches[index].from, network.branches[index].to);
    }
    std::vector<bool> block_has_source(network.node_count, false);
    for (std::size_t index = 0; index < count; ++index) {
        const Branch& branch = network.branches[index];
        if (included[index] && !bridge[index] && is_source(branch.type)) {
            block_has_source[blocks.find(branch.from)] = true;
        }
    }
    std::vector<bool> fed(count, false);
    for (std::size_t index = 0; index < count; ++index) {
        fed[index] =
            included[index] && !bridge[index] && block_has_source[blocks.find(network.branches[index].from)];
    }
    return fed;
}

void number_islands(const Network& network, const std::vector<bool>& included, NetworkGraph& graph) {
    DisjointSets sets(network.node_count);
    for (std::size_t index = 0; index < network.branches.size(); ++index) {
        if (included[index]) sets.join(network.branches[index].from, network.branches[index].to);
    }
    graph.island_of_node.resize(network.node_count);
    for (std::uint32_t node = 0; node < network.node_count; ++node) {
        const std::uint32_t root = sets.find(node);
        if (root == node) {
            graph.island_of_node[node] = static_cast<std::uint32_t>(graph.reference_of_island.size());
            graph.reference_of_island.push_back(NetworkGraph::none);
        } else {
            graph.island_of_node[node] = graph.island_of_node[root];
        }
    }
    for (std::size_t index = 0; index < network.branches.size(); ++index) {
        const Branch& branch = network.branches[index];
        if (!included[index] || !is_source(branch.type)) continue;
        std::uint32_t& reference = graph.reference_of_island[graph.island_of_node[branch.from]];
        if (reference == NetworkGraph::none) reference = branch.from;
    }
}

}  // namespace

bool is_load(Branch::Type type) {
    return type == Branch::Type::current_load || type == Branch::Type::power_load ||
           type == Branch::Type::converter_input;
}

bool is_source(Branch::Type type) {
    return type == Branch::Type::emf || type == Branch::Type::limited_source;
}

NetworkGraph analyse_graph(const Network& network) {
    const std::size_t count = network.branches.size();
    std::vector<bool> included(count, true);
    bool linear = true;
    for (const Branch& branch : network.branches) {
        // A source that gives nothing holds no voltage either.
        if (branch.type == Branch::Type::limited_source && branch.current_A <= 0)
            included[static_cast<std::size_t>(&branch - network.branches.data())] = false;
        linear = linear && (branch.type == Branch::Type::resistor || branch.type == Branch::Type::emf);
        // No output counts before its input is known to be fed: a converter cannot feed itself.
        if (branch.type == Branch::Type::converter_input && branch.partner)
            included[branch.partner.index()] = false;
    }
    std::vector<bool> fed(count, true);
    if (!linear) fed = fed_branches(network, included);
    for (bool grown = true; grown && !linear;) {
        grown = false;
        for (std::size_t index = 0; index < count; ++index) {
            const Branch& branch = network.branches[index];
            if (branch.type != Branch::Type::converter_input || !branch.partner || !fed[index]) continue;
            const std::size_t partner = branch.partner.index();
            if (network.branches[partner].current_A <= 0) continue;
            if (!included[partner]) grown = included[partner] = true;
        }
        if (grown) fed = fed_branches(network, included);
    }
    NetworkGraph graph;
    number_islands(network, included, graph);
    graph.roles.resize(count);
    for (std::size_t index = 0; index < count; ++index) {
        const std::uint32_t island = graph.island_of_node[network.branches[index].from];
        const bool dead = !included[index] || graph.reference_of_island[island] == NetworkGraph::none;
        graph.roles[index] = dead ? BranchRole::dead : fed[index] ? BranchRole::active : BranchRole::idle;
    }
    return graph;
}

}  // namespace loomward
