// The working memory of Follower for one state. Used by follow*.cpp alone.
#pragma once
#include <vector>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/follow/follow.hpp"

namespace loomward {

struct Follower::Net {
    explicit Net(std::size_t nodes) : sets(nodes) {}

    DisjointSets sets;
    std::vector<std::uint16_t> open_count;  // by row
    std::vector<std::int8_t> forced;        // by EdgeId: -1 as its state is, 0, 1
    std::vector<std::uint8_t> pulled, drivers, sources;
    std::vector<double> give_V, take_V;  // by root: at which it can feed, and to which it can return
    std::vector<std::int32_t> give_island, take_island;
    std::vector<std::uint8_t> stiff;  // held by a pack
    std::vector<PartId> shorted;      // packs whose poles are one net, or the ends of a chain of them
    std::vector<std::pair<std::uint32_t, std::uint32_t>> joined;
    const CircuitChange* failure = nullptr;
    bool chatters = false;

    std::uint32_t root(std::uint32_t node) { return static_cast<std::uint32_t>(sets.find(node)); }
    bool is_dead(PartId part) const {
        for (const PartId each : failure->dead)
            if (each == part) return true;
        return false;
    }
};

}  // namespace loomward
