// What a wire turns to heat, as a figure alone.
#pragma once
#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"

namespace loomward {

// U I of its conductors together, W; loss_at of losses.hpp without its texts, for sums over many wires.
double wire_loss_W(const Circuit& circuit, const OperatingPoint& point, WireId wire);

}  // namespace loomward
