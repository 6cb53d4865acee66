// Witness paths: how a current gets somewhere, as named steps a person can follow with a finger.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/results.hpp"
#include "checker/rules/finding.hpp"

namespace loomward {

// The steps of a walk over these edges from `start`: the first terminal, then each wire and part passed, then
// the last terminal. Long walks keep their two ends; the middle becomes one step "... (n more)".
std::vector<Step> steps_along(const Circuit& circuit, NodeId start, const std::vector<EdgeId>& edges);

// Where the current through an edge comes from and goes to at an operating point: from the edge, always along
// the strongest current, upstream to a source's plus and downstream to its minus.
std::vector<Step> current_path(const Circuit& circuit, const OperatingPoint& point, EdgeId edge);

// The edges of that path, source first, and the node it starts from.
struct CurrentPath {
    NodeId start;
    std::vector<EdgeId> edges;
};
CurrentPath trace_current(const Circuit& circuit, const OperatingPoint& point, EdgeId edge);

}  // namespace loomward
