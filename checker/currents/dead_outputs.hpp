// Outputs of devices that have no supply: a sensor supply or a driven output gives nothing while its device
// is dead.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// By EdgeId: pins that supply (EdgeRole::output_pin) whose device draws by some terminal, none of which leads
// to a live source in this state of the contacts. Loads are not passed, resistors and diodes are, so that
// what is in doubt counts as live. Empty where the harness has no such pin.
std::vector<bool> dead_outputs(const Circuit& circuit, const Mode& mode);

}  // namespace loomward
