// The circuit as a graph in the DOT language, for looking at what the solver sees.
#pragma once
#include <string>

#include "checker/results.hpp"

namespace loomward {

// A node for each point, named after its first terminal, with all terminals that are that point; an edge for
// each wire, joint and part between two points, in the order of their names.
std::string circuit_dot(const Results& results);

}  // namespace loomward
