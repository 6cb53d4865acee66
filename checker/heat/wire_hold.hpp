// Wires as bodies that warm up: what a course of a mode does to each of them where it lies.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/profile.hpp"
#include "checker/heat/body_in_box.hpp"
#include "checker/heat/how_long.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// A wire in one group of what lies together. `losses` are in K: what each level leads to, so that every
// steady temperature is that of conductor_temperature.hpp; between them one time constant, that of all metal
// of the group without its insulation, which is the quicker estimate.
struct WireHold {
    WireId wire;
    double ambient_degC = 0;
    WarmedAir air;          // the same with the box that warms it most, of all that its group runs through
    double limit_degC = 0;  // of its insulation, or the policy's
    ThermalBody body;
    LossCourse losses;
    // At which the hottest of its group settles at its limit, all currents of the group alike; its parallel
    // conductors together.
    double lasting_A = 0;
    double limit_K() const { return limit_degC - ambient_degC; }
};

// Every wire that carries something in the course, once for each group it lies in. Wires of which the size is
// not known give no heat to their group.
std::vector<WireHold> wire_holds(const Circuit& circuit, const Facts& facts, const Course& course);

// Those of them that some level, were it to stay, would bring to their limit or beyond: much quicker where
// few are.
std::vector<WireHold> hot_wire_holds(const Circuit& circuit, const Facts& facts, const Course& course);

}  // namespace loomward
