// What lies in a row: edges that every loop of the circuit passes together or not at all.
#pragma once
#include <cstdint>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// By EdgeId: the same number for two edges if one's opening leaves no current for the other, whatever else
// stands open or closed; 0 where nothing can flow. What feeds a converter and nothing else is in a row with
// what its output alone feeds. O(nodes + edges).
//
// Every loop edge of a spanning tree gets a number, every tree edge the exclusive or of those whose loops it
// lies on (D. Pritchard, R. Thurimella, Fast computation of small cuts via cycle space sampling, 2011,
// memory).
std::vector<std::uint64_t> series_numbers(const Circuit& circuit);

}  // namespace loomward
