// What parts and wires turn to heat while a mode lasts.
#pragma once
#include <string>
#include <vector>

#include "checker/currents/profile.hpp"

namespace loomward {

// What one part or wire turns to heat.
struct HeatSource {
    std::string subject;  // "U1", "W7"
    PartId part;          // of both one is valid
    WireId wire;
    double loss_W = 0;
    std::string working;  // "55 W = 1.1 kW x (1 - 95 %)"
    bool taken = false;   // rests on a value that nobody stated
};

// At one operating point. Devices by `losses` (no more than goes in, of one with a current it holds at: as
// much below it, by its square above), else by `efficiency` at its low end, else by what is usual, which goes
// on the assumption list; packs by the resistance of their cells; loads and pins by all they draw; contacts,
// coils, fuses, resistors, diodes, wires by U I; motors as motor_loss.hpp says.
HeatSource loss_at(const Circuit& circuit, const Facts& facts, const OperatingPoint& point, PartId part);
HeatSource loss_at(const Circuit& circuit, const OperatingPoint& point, WireId wire);

// What a figure of the points of a course amounts to for a body of a time constant, at the instant at which
// it is highest: x' = (figure - x) / tau, the settled cycle of a course that repeats, else from the level
// that stays at its end.
struct FollowedLoss {
    double loss_W = 0;
    std::vector<double> shares;  // by point: how much of its figure is in `loss_W`; they sum up to 1
};
FollowedLoss followed(const Course& course, const std::vector<double>& loss_W, double time_constant_s);
// Of a part over a course; the working is that of the point that counts most.
HeatSource loss_over(const Circuit& circuit, const Facts& facts, const Course& course, PartId part,
                     double time_constant_s);

}  // namespace loomward
