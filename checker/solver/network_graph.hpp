// What the graph of a network says before any number is computed: its islands, their references, the sources
// that are alive, and the branches that cannot carry a current.
#pragma once
#include <cstdint>
#include <vector>

#include "checker/solver/network.hpp"

namespace loomward {

enum class BranchRole : std::uint8_t {
    dead,  // 0 A and left out: its island has no source, or it is the output of a converter that is not fed
    idle,  // in an island that has a source, but on no loop with one: 0 A whatever its law
    active,
};

struct NetworkGraph {
    static constexpr std::uint32_t none = 0xffffffffU;
    std::vector<std::uint32_t> island_of_node;       // dense, in order of first node
    std::vector<std::uint32_t> reference_of_island;  // node; `none` where the island has no live source
    std::vector<BranchRole> roles;                   // by branch
};

// Linear in the size of the network times the depth of its converter cascades; never recurses.
NetworkGraph analyse_graph(const Network& network);

// A converter's input counts as a power load.
bool is_load(Branch::Type type);
bool is_source(Branch::Type type);

}  // namespace loomward
