// Users of current whose return is lost: fed, and joined at their minus with others that have lost it as
// well.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// By EdgeId: a load, controller, converter, coil or supply pin whose plus leads to the plus of a source,
// whatever is closed, and whose minus leads to no source but through other users. Two in series are no
// mistake by themselves: one of them is told so as well.
std::vector<bool> lost_returns(const Circuit& circuit);

}  // namespace loomward
