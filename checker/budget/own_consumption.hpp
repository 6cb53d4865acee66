// What a battery management draws from its own cells: no wire of the harness carries it, so no operating
// point holds it.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// A pack that a BMS watches, and its share of what the BMS draws: 1 in a string, less side by side.
struct WatchedPack {
    PartId pack;
    double share = 1;
    std::size_t layer = 0;  // of the string, from the pole in which the BMS sits
};

// The string of packs behind a BMS: over conductors that are closed in this state, and through no other BMS.
// Packs side by side share by capacity, as they stay at one voltage; evenly where one is not known.
std::vector<WatchedPack> packs_behind(const Circuit& circuit, const Facts& facts, const Mode& state,
                                      PartId bms);

}  // namespace loomward
