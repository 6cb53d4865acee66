// Which loads' returns lead through each return conductor: the block-cut tree of what leads back to the
// sources' minus.
#pragma once
#include <functional>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/flow.hpp"

namespace loomward {

// A load seen from the return side: the edge, where its feed lies and where its return begins.
struct FedReturn {
    EdgeId load;
    NodeId feed;
    NodeId back;
};

class ReturnTree {
  public:
    // `forward` by NodeId: some source's plus reaches it. `conducts` by EdgeId: devices and plain conductors.
    // Everything else that joins a forward node to another one is a load.
    ReturnTree(const Circuit& circuit, const std::vector<bool>& forward, const std::vector<bool>& conducts);

    const std::vector<FedReturn>& loads() const { return loads_; }
    bool leads_back(NodeId node) const { return leads_back_[node.index()]; }

    // For each edge (by EdgeId) the worst of all loads whose return can lead through it, by merging from the
    // leaves to the sources. `value` of one load by its index in loads(); `worse` must not depend on the
    // order.
    template <class Value>
    std::vector<Value> collect(const std::function<Value(std::size_t)>& value,
                               const std::function<Value(const Value&, const Value&)>& worse) const {
        std::vector<Value> at_node(node_count_ + 1), of_edge(edge_count_);
        for (std::size_t i = 0; i < loads_.size(); ++i) {
            Value& here = at_node[loads_[i].back.index()];
            here = worse(here, value(i));
        }
        for (std::size_t block = blocks_.edges_of_block.size(); block-- > 0;) {
            const std::uint32_t entry = blocks_.entry_of_block[block];
            Value worst{};
            for (const std::uint32_t edge : blocks_.edges_of_block[block])
                for (const std::uint32_t vertex : {edges_[edge].a, edges_[edge].b})
                    if (vertex != entry) worst = worse(worst, at_node[vertex]);
            for (const std::uint32_t edge : blocks_.edges_of_block[block])
                of_edge[circuit_edge_[edge].index()] = worst;
            at_node[entry] = worse(at_node[entry], worst);
        }
        return of_edge;
    }

  private:
    std::size_t node_count_ = 0, edge_count_ = 0;
    std::vector<FlowEdge> edges_;
    std::vector<EdgeId> circuit_edge_;
    Blocks blocks_;
    std::vector<FedReturn> loads_;
    std::vector<bool> leads_back_;
};

}  // namespace loomward
