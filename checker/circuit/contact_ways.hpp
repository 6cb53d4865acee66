// Which contacts can be closed at the same time: the positions of a selector, the throws of a change-over
// contact and the sides of a reversing bridge shut one another out.
#pragma once
#include <cstdint>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

struct ContactWays {
    // By EdgeId: the choice that closes the edge, counted from 1, 0 for what no choice opens; and the ways of
    // that choice that close it, a bit each. Ways beyond the last bit share it.
    std::vector<std::uint32_t> choice;
    std::vector<std::uint64_t> ways;

    bool is_chosen(EdgeId edge) const { return choice[edge.index()] != 0; }
    // A choice that has no way closes it: no mode does, and it would short a pack.
    bool never_closed(EdgeId edge) const { return is_chosen(edge) && ways[edge.index()] == 0; }
    // Whether some position closes both.
    bool together(EdgeId a, EdgeId b) const {
        return choice[a.index()] == 0 || choice[a.index()] != choice[b.index()] ||
               (ways[a.index()] & ways[b.index()]) != 0;
    }
};

}  // namespace loomward
