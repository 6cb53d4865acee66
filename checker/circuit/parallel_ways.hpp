// Ways side by side between the same two points: chains of conductors in which nothing else begins or ends.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

struct ParallelWay {
    std::vector<EdgeId> edges;  // in no order that means anything
};

// Groups of two or more, by their first edge. Every contact counts as closed; a chain passes through points
// that nothing but two conductors of it touch.
std::vector<std::vector<ParallelWay>> parallel_ways(const Circuit& circuit);

}  // namespace loomward
