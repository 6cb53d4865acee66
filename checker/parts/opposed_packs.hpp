// Packs that stand the wrong way round in the string of a consumer, on the graph: the voltages of a string
// add up to next to nothing then, so that no solved voltage stands the wrong way round.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// A consumer or charger whose way through the packs passes some of them forwards and others backwards, and
// which in no position of the switches has a way that passes all of them forwards.
struct OpposedString {
    EdgeId consumer;
    std::vector<EdgeId> forwards, backwards;  // sections of packs (EdgeRole::emf), in the order of the way
};

// In the order of the consumers in the circuit; one for all that hang on the same two points.
std::vector<OpposedString> opposed_strings(const Circuit& circuit);

}  // namespace loomward
