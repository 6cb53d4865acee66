// Plus bars with the minus bars beside them.
#pragma once
#include <vector>

#include "checker/circuit/touching.hpp"

namespace loomward {

// Two bars that can touch, and as many users as are fed from the one come home to the other: whatever
// somebody puts between them sends home by the minus bar's lead what the plus bar's device lets through. Of
// several minus bars in a row the one nearest to the source: the others are on the way of a load.
struct BarPair {
    NodeId plus, minus;
};
// In the order of the touches.
std::vector<BarPair> bar_pairs(const Circuit& circuit, const Touching& touching);

}  // namespace loomward
