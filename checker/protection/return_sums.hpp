// How much the branches that meet in a return bring to it together: along the tree of their feeds.
#pragma once
#include <vector>

#include "checker/protection/guard_network.hpp"

namespace loomward {

// The plus side as a tree, rooted at what all returns are: each zone hangs on the device that feeds it. Zones
// on a loop hang on its entry, over what reaches them at the most.
class ReturnSums {
  public:
    ReturnSums(const GuardNetwork& network, const GuardView& view, const std::vector<FlowBound>& chafed);

    // No zone lies on a loop: sums are exact.
    bool is_exact() const { return exact_; }
    // The most that can be drawn from these zones together; cuts are edges of the circuit. What is left of
    // the zones are those behind the cut: whatever is added to them later, they draw as much as all did.
    FlowBound sum(std::vector<std::uint32_t>& zones) const;

  private:
    struct Feed {
        std::uint32_t parent = 0;
        std::uint32_t order = 0;  // rising from the root; 0: not fed
        FlowBound over;           // from the parent
    };
    std::uint32_t root_ = 0;
    std::vector<Feed> feeds_;  // by zone
    bool exact_ = true;
};

}  // namespace loomward
