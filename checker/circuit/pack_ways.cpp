#include "checker/circuit/pack_ways.hpp"

#include <algorithm>
#include <limits>
#include <queue>

namespace loomward {

bool PackWays::leads(EdgeId id, NodeId from) const {
    const Edge& edge = circuit_.edge(id);
    if (taken_out_[id.index()]) return false;
    if (edge.role == EdgeRole::diode) return edge.from == from;
    if (edge.role == EdgeRole::emf) return (flow_ == PackFlow::charging ? edge.to : edge.from) == from;
    return is_conductor(edge.role);
}

std::vector<bool> PackWays::reached(NodeId start, bool along) const {
    std::vector<bool> seen(circuit_.node_count(), false);
    std::vector<NodeId> queue{start};
    seen[start.index()] = true;
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const Incidence& next : circuit_.at(queue[head])) {
            if (seen[next.other.index()] || !leads(next.edge, along ? queue[head] : next.other)) continue;
            seen[next.other.index()] = true;
            queue.push_back(next.other);
        }
    return seen;
}

std::vector<EdgeId> PackWays::way(NodeId from, NodeId to,
                                  const std::function<double(EdgeId)>& volts_V) const {
    struct Reached {
        double so_far_V;
        std::size_t steps;
        NodeId node;
        bool operator>(const Reached& other) const {
            return std::pair(so_far_V, steps) > std::pair(other.so_far_V, other.steps);
        }
    };
    std::vector<EdgeId> back(circuit_.node_count());
    std::vector<double> best_V(circuit_.node_count(), std::numeric_limits<double>::infinity());
    std::priority_queue<Reached, std::vector<Reached>, std::greater<>> queue;
    best_V[from.index()] = 0;
    queue.push({0, 0, from});
    while (!queue.empty()) {
        const Reached here = queue.top();
        queue.pop();
        if (here.node == to) break;
        if (here.so_far_V > best_V[here.node.index()]) continue;
        for (const Incidence& next : circuit_.at(here.node)) {
            if (!leads(next.edge, here.node)) continue;
            const double volts = here.so_far_V + volts_V(next.edge);
            if (volts >= best_V[next.other.index()]) continue;
            best_V[next.other.index()] = volts;
            back[next.other.index()] = next.edge;
            queue.push({volts, here.steps + 1, next.other});
        }
    }
    std::vector<EdgeId> edges;
    if (best_V[to.index()] == std::numeric_limits<double>::infinity()) return edges;
    for (NodeId here = to; here != from;) {
        edges.push_back(back[here.index()]);
        const Edge& edge = circuit_.edge(edges.back());
        here = edge.from == here ? edge.to : edge.from;
    }
    std::reverse(edges.begin(), edges.end());
    return edges;
}

}  // namespace loomward
