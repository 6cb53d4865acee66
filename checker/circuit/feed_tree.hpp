// The conductors of a harness as a tree that hangs on the minus of its packs: what lies behind each
// conductor, seen from the pack, on the plus side as on the minus side. Packs and diodes count as conductors,
// so that the plus side hangs on the minus side over the pack; for what no pack feeds, the converter or
// charger that does takes its place. A diode that stands against the packs, from their minus to a plus, leads
// nowhere. Where conductors form a loop, how they share is not known from the
// graph: the loop is one branch, and what lies behind it still adds up before it.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

class FeedTree {
  public:
    // One conductor, or all that form a loop.
    struct Branch {
        NodeId above;               // the end towards the packs; invalid: the packs' minus itself
        std::vector<NodeId> below;  // the others
        std::vector<EdgeId> edges;
        bool single() const { return edges.size() == 1 && below.size() == 1; }
    };

    // `open` by EdgeId: contacts that are not to be passed. The circuit outlives the tree.
    FeedTree(const Circuit& circuit, const std::vector<bool>& open);

    const std::vector<Branch>& branches() const { return branches_; }  // the packs' side first
    bool reached(NodeId node) const { return reached_[node.index()]; }
    // By NodeId: the branch that leads to it from the packs, and those that lead on from it. -1: none.
    std::int32_t branch_to(NodeId node) const { return to_[node.index()]; }
    const std::vector<std::uint32_t>& branches_from(NodeId node) const { return from_[node.index()]; }

    // Sums over everything behind each branch; `at_node` by NodeId, by branch in the result.
    std::vector<double> behind(const std::vector<double>& at_node) const;

  private:
    std::vector<Branch> branches_;
    std::vector<bool> reached_;
    std::vector<std::int32_t> to_;
    std::vector<std::vector<std::uint32_t>> from_;
};

}  // namespace loomward
