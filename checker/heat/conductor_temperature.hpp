// How hot conductors get from what they lose: Joule heat at the conductor's own temperature, conduction
// through insulation and bundle, convection and radiation at the outside. Per metre of a long horizontal run,
// so what the ends take away does not count. Currents in A, temperatures in degC, diameters in mm.
#pragma once
#include <cstddef>
#include <optional>
#include <vector>

#include "checker/heat/air.hpp"
#include "checker/heat/heat_assumptions.hpp"

namespace loomward {

struct HeatedWire {
    double ohm_per_m = 0;  // of one conductor at 20 degC
    double conductor_mm = 0;
    double outer_mm = 0;  // over the insulation; above `conductor_mm`
    double current_A = 0;
    bool aluminium = false;
    double metal_mm2 = 0;  // what conducts heat along the wire; only contacts ask for it
};

// A wire of the standard's largest resistance (`resistance_ohm_per_m`), stranded. Valid 0.05..630 mm2.
HeatedWire heated_wire(double area_mm2, double current_A, Wall wall, bool aluminium = false,
                       const HeatAssumptions& assumptions = {});

// What lies around all wires together: first the gap of air, then the solid wall.
struct HeatLayer {
    double gap_mm = 0;
    double wall_mm = 0;
    double wall_W_mK = 0;  // above 0 where there is a wall
};

// Wires that touch each other over their whole length: a bundle, a cable (its sheath is a layer), parallel
// wires each with its share. One wire is a bundle of one.
struct HeatedBundle {
    std::vector<HeatedWire> wires;
    std::vector<HeatLayer> layers;  // from the inside out
};

// Of a wire its outside; of more the round body that the wires fill by `bundle_fill`. 0 without wires.
double body_mm(const HeatedBundle& bundle, const HeatAssumptions& assumptions = {});

// The layer a wrapping puts around a body of this diameter; nullopt for `open`.
std::optional<HeatLayer> layer_of(Wrap wrap, double body_mm, const HeatAssumptions& assumptions = {});

struct SteadyHeat {
    // False: no steady state below the ceiling. The resistance rises faster with temperature than what is
    // given away, or the air itself is as hot; then the temperatures are the ceiling and no more is known.
    bool settles = true;
    double hottest_degC = 0;  // of all conductors
    std::size_t hottest_wire = 0;
    double surface_degC = 0;        // outermost
    double lost_W_per_m = 0;        // all wires together
    std::vector<double> wire_degC;  // in the order of the bundle
};

// Steady temperatures. A bundle is a round body of one conductivity, made of its metal, plastic and trapped
// air (Maxwell's formula for discs, twice; memory). The wires that lose most per area lie at the centre,
// which is the hottest way to lay them; idle wires lie outside. Without current all is as hot as the air.
SteadyHeat steady_heat(const HeatedBundle& bundle, const Air& air, const HeatAssumptions& assumptions = {});

// The factor on all currents at which the hottest conductor settles at `limit_degC`, to 1e-6 of itself. 0
// from an air as hot as the limit on; infinite where no wire carries current. Throws std::domain_error where
// the limit is above the ceiling.
double lasting_factor(const HeatedBundle& bundle, double limit_degC, const Air& air,
                      const HeatAssumptions& assumptions = {});

// The current at which one wire alone, whatever its `current_A`, settles at `limit_degC`.
double lasting_A(HeatedWire wire, double limit_degC, const Air& air, const HeatAssumptions& assumptions = {});

}  // namespace loomward
