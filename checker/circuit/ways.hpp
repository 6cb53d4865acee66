// Walks over the circuit: what hangs together, what can be reached, and by which way. What may be passed is
// the caller's to say; nothing else in checker/ walks from node to node. Iterative, deterministic: edges are
// tried in the order of the circuit, so that of two ways alike the first written is taken.
#pragma once
#include <algorithm>
#include <functional>
#include <initializer_list>
#include <limits>
#include <queue>
#include <span>
#include <tuple>
#include <utility>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

// What hangs together over the edges that pass, by the index of a node. `passes(EdgeId)`.
template <class Passes>
DisjointSets pieces(const Circuit& circuit, Passes passes) {
    DisjointSets sets(circuit.node_count());
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (passes(EdgeId(i))) sets.join(circuit.edges[i].from.index(), circuit.edges[i].to.index());
    return sets;
}

inline NodeId other_end(const Edge& edge, NodeId node) {
    return edge.from == node ? edge.to : edge.from;
}

// Nodes with the edge by which each was reached.
struct Reached {
    std::vector<NodeId> order;  // as they were reached, starts first
    std::vector<bool> seen;     // by NodeId
    std::vector<EdgeId> by;     // by NodeId; invalid at a start
    bool operator[](NodeId node) const { return seen[node.index()]; }
    // The edges from the start to a node, in that order; empty at a start and where nothing leads.
    std::vector<EdgeId> way_to(const Circuit& circuit, NodeId node) const {
        std::vector<EdgeId> edges;
        while (const EdgeId id = by[node.index()]) {
            edges.push_back(id);
            node = other_end(circuit.edge(id), node);
        }
        std::reverse(edges.begin(), edges.end());
        return edges;
    }
};

// Breadth first. `passes(EdgeId, NodeId from)`: whether the walk may leave `from` by that edge.
// `enough(NodeId)`: whether it may end with this node.
template <class Passes, class Enough>
Reached reached(const Circuit& circuit, std::span<const NodeId> starts, Passes passes, Enough enough) {
    Reached found{
        {}, std::vector<bool>(circuit.node_count(), false), std::vector<EdgeId>(circuit.node_count())};
    const auto visit = [&](NodeId node, EdgeId by) {
        if (found.seen[node.index()]) return;
        found.seen[node.index()] = true;
        found.by[node.index()] = by;
        found.order.push_back(node);
    };
    for (const NodeId start : starts) visit(start, {});
    for (std::size_t head = 0; head < found.order.size(); ++head) {
        const NodeId here = found.order[head];
        for (const Incidence& next : circuit.at(here)) {
            if (found.seen[next.other.index()] || !passes(next.edge, here)) continue;
            visit(next.other, next.edge);
            if (enough(next.other)) return found;
        }
    }
    return found;
}
template <class Passes>
Reached reached(const Circuit& circuit, std::span<const NodeId> starts, Passes passes) {
    return reached(circuit, starts, passes, [](NodeId) { return false; });
}

// The way of fewest edges, in the order of the walk; empty if there is none.
template <class Passes>
std::vector<EdgeId> shortest_way(const Circuit& circuit, NodeId from, NodeId to, Passes passes) {
    const NodeId starts[] = {from};
    return reached(circuit, starts, passes, [to](NodeId node) { return node == to; }).way_to(circuit, to);
}

// The same by what the edges cost (Dijkstra 1959). `cost(EdgeId, NodeId from)`: not negative; infinite where
// the walk may not leave `from` by that edge. Of ways that cost alike the one of fewer edges is taken. Where
// `until` is given, only what costs no more than that node is worked out.
struct Costs {
    std::vector<double> cost;          // by NodeId; infinite where nothing leads
    std::vector<std::uint32_t> steps;  // by NodeId
    std::vector<EdgeId> by;            // by NodeId; invalid at a start
};
template <class Cost>
Costs least_costs(const Circuit& circuit, std::span<const NodeId> starts, Cost cost, NodeId until = {}) {
    constexpr double never = std::numeric_limits<double>::infinity();
    const std::size_t nodes = circuit.node_count();
    Costs found{std::vector<double>(nodes, never), std::vector<std::uint32_t>(nodes, 0),
                std::vector<EdgeId>(nodes)};
    using Entry = std::tuple<double, std::uint32_t, std::uint32_t>;  // cost, steps, node
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
    for (const NodeId start : starts) {
        if (found.cost[start.index()] == 0) continue;
        found.cost[start.index()] = 0;
        queue.emplace(0, 0, start.value);
    }
    while (!queue.empty()) {
        const auto [so_far, steps, node] = queue.top();
        queue.pop();
        if (NodeId(node) == until) break;
        if (std::pair(so_far, steps) > std::pair(found.cost[node], found.steps[node])) continue;
        for (const Incidence& next : circuit.at(NodeId(node))) {
            const double there = so_far + cost(next.edge, NodeId(node));
            const std::size_t other = next.other.index();
            if (there == never ||
                std::pair(there, steps + 1) >= std::pair(found.cost[other], found.steps[other]))
                continue;
            found.cost[other] = there;
            found.steps[other] = steps + 1;
            found.by[other] = next.edge;
            queue.emplace(there, steps + 1, next.other.value);
        }
    }
    return found;
}

// The way that costs least, in the order of the walk; empty if there is none.
template <class Cost>
std::vector<EdgeId> least_way(const Circuit& circuit, NodeId from, NodeId to, Cost cost) {
    const NodeId starts[] = {from};
    const Costs found = least_costs(circuit, starts, cost, to);
    std::vector<EdgeId> edges;
    // (Not with `id` in the condition of a for loop: g++ 12 ends its life before the step.)
    NodeId here = to;
    while (const EdgeId id = found.by[here.index()]) {
        edges.push_back(id);
        here = other_end(circuit.edge(id), here);
    }
    std::reverse(edges.begin(), edges.end());
    return edges;
}

}  // namespace loomward
