#include "checker/circuit/parallel_ways.hpp"

#include <algorithm>
#include <map>

namespace loomward {
namespace {

// A point within a chain: two conductors, and nothing else that could part the current.
bool passes_on(const Circuit& circuit, NodeId node) {
    const auto at = circuit.at(node);
    return at.size() == 2 && is_conductor(circuit.edge(at[0].edge).role) &&
           is_conductor(circuit.edge(at[1].edge).role) && at[0].edge != at[1].edge;
}

}  // namespace

std::vector<std::vector<ParallelWay>> parallel_ways(const Circuit& circuit) {
    std::map<std::pair<NodeId, NodeId>, std::vector<ParallelWay>> by_ends;
    std::vector<bool> walked(circuit.edges.size(), false);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& first = circuit.edges[i];
        if (walked[i] || !is_conductor(first.role) || first.from == first.to) continue;
        ParallelWay way{{EdgeId(i)}};
        walked[i] = true;
        NodeId ends[2] = {first.from, first.to};
        for (const int side : {0, 1}) {
            EdgeId last(i);
            while (passes_on(circuit, ends[side])) {
                const auto at = circuit.at(ends[side]);
                const Incidence& next = at[0].edge == last ? at[1] : at[0];
                if (walked[next.edge.index()]) break;
                walked[next.edge.index()] = true;
                last = next.edge;
                ends[side] = next.other;
                way.edges.push_back(last);
            }
        }
        if (ends[0] == ends[1]) continue;
        by_ends[{std::min(ends[0], ends[1]), std::max(ends[0], ends[1])}].push_back(std::move(way));
    }
    std::vector<std::vector<ParallelWay>> groups;
    for (auto& [ends, ways] : by_ends)
        if (ways.size() > 1) groups.push_back(std::move(ways));
    std::sort(groups.begin(), groups.end(),
              [](const auto& a, const auto& b) { return a.front().edges.front() < b.front().edges.front(); });
    return groups;
}

}  // namespace loomward
