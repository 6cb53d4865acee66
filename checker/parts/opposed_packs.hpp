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

// A pack whose plus lies on the minus of what another one feeds the right way round, and its minus on the
// plus: both push one way round a ring in which nothing is between them.
struct OpposedPack {
    PartId pack, other;
    std::vector<EdgeId> consumers;  // for which that holds; by id, never empty
};

// In the order of the parts. A pack that feeds as many the right way round is none.
std::vector<OpposedPack> opposed_packs(const Circuit& circuit);

// In the order of the consumers in the circuit; one for all that hang on the same two points.
std::vector<OpposedString> opposed_strings(const Circuit& circuit);

}  // namespace loomward
