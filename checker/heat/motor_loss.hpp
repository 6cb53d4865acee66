// What a motor turns to heat. It has no branch of its own in the circuit: it goes by what its leads carry,
// and by what the controller on them takes.
#pragma once
#include <optional>

#include "checker/heat/losses.hpp"

namespace loomward {

// The lead of a motor, or of both the controller on them; invalid where it is not wired.
EdgeId motor_lead(const Circuit& circuit, PartId motor);
PartId controller_of(const Circuit& circuit, PartId motor);

// What its leads carry: as the mode says of the phases of its controller; else no less than what that takes
// from its supply, A.
double motor_current_A(const Circuit& circuit, PartId motor, const OperatingPoint& point);

// By `losses` (stated at a current: above it by its square), else by its efficiency on all that the
// controller takes, else by the resistance between two leads at its `limit` temperature, 20 degC without one:
// P = 0.75 I2 R with three or more leads, I the peak, which holds for star and delta; I2 R with two. Nothing
// of a motor that states none of these.
HeatSource motor_loss_at(const Circuit& circuit, const Facts& facts, const OperatingPoint& point,
                         PartId motor);
// Whether it states any of these.
bool motor_losses_known(const Facts& facts, PartId motor);

}  // namespace loomward
