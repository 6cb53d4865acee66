#include "checker/circuit/bridges.hpp"

#include <algorithm>

namespace loomward {

std::vector<bool> find_bridges(const Circuit& circuit) {
    struct Frame {
        NodeId node;
        EdgeId arrived_by;
        std::size_t next = 0;
    };
    const std::size_t nodes = circuit.node_count();
    std::vector<bool> bridge(circuit.edges.size(), false);
    std::vector<std::uint32_t> entered(nodes, 0), lowest(nodes, 0);
    std::uint32_t clock = 0;
    std::vector<Frame> stack;
    for (std::size_t root = 0; root < nodes; ++root) {
        if (entered[root] != 0) continue;
        entered[root] = lowest[root] = ++clock;
        stack.push_back({NodeId(root), {}, 0});
        while (!stack.empty()) {
            Frame& top = stack.back();
            const auto around = circuit.at(top.node);
            if (top.next < around.size()) {
                const Incidence step = around[top.next++];
                if (step.edge == top.arrived_by) continue;
                const std::size_t other = step.other.index();
                if (entered[other] != 0) {
                    lowest[top.node.index()] = std::min(lowest[top.node.index()], entered[other]);
                    continue;
                }
                entered[other] = lowest[other] = ++clock;
                stack.push_back({step.other, step.edge, 0});
                continue;
            }
            const Frame done = top;
            stack.pop_back();
            if (stack.empty()) continue;
            const std::size_t below = stack.back().node.index();
            lowest[below] = std::min(lowest[below], lowest[done.node.index()]);
            if (lowest[done.node.index()] > entered[below]) bridge[done.arrived_by.index()] = true;
        }
    }
    return bridge;
}

}  // namespace loomward
