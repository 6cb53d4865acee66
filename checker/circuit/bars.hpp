// Where several leads can end side by side.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// By NodeId: nodes of busbars, terminal blocks, fuse blocks, studs and frames.
std::vector<bool> bars(const Circuit& circuit);

}  // namespace loomward
