// A way through the circuit as named steps that a person can follow with a finger.
#pragma once
#include <string>
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// A terminal the current enters or leaves, or the wire or part it goes through.
struct Step {
    std::string name;  // "B1.+", "W1", "F1"
    Span where;
};

// The steps of a walk over these edges from `start`: the first terminal, then each wire and part passed, then
// the last terminal. Long walks keep their two ends; the middle becomes one step "... (n more)".
std::vector<Step> steps_along(const Circuit& circuit, NodeId start, const std::vector<EdgeId>& edges);

}  // namespace loomward
