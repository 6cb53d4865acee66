// What a contact may carry by its data sheet's curve, and how hot it gets on the wires it has: they take most
// of its heat. Currents in A, temperatures in degC.
#pragma once
#include <limits>

#include "checker/heat/air.hpp"
#include "checker/heat/conductor_temperature.hpp"

namespace loomward {

// The derating curve of IEC 60512-5-2 for plug connectors lies at 0.8 of the measured base curve.
inline constexpr double plug_policy = 0.8;

// The base curve (`derated_A`, conductors.hpp) times a policy: policy Ir sqrt((Tmax - T)/(Tmax - Tr)).
// `policy` 1 where the rating is already a derated one or printed-board terminals are meant. Measured base
// curves lie 12 percent below to 6.4 percent above the law, worst in the last 10 K below the limit.
double contact_curve_A(double rated_A, double rated_at_degC, double limit_degC, double ambient_degC,
                       double policy = plug_policy);

struct HeatedContact {
    double ohm = 0;          // at working temperature
    double own_W_per_K = 0;  // by its own surface; 0: the wires take all, which is the hotter estimate
    int wires = 2;           // that leave it, alike, each carrying the current; above 0
    double wire_m = std::numeric_limits<double>::infinity();  // up to where it passes no heat on; above 0
};

struct ContactHeat {
    // False: the wire itself has no steady state, or warms the contact faster than it cools it. Then the
    // other figures are 0.
    bool settles = true;
    double contact_degC = 0;
    double wire_degC = 0;      // far from the contact
    double taken_W_per_K = 0;  // by one wire, above its own temperature: sqrt(g k S) tanh(L/decay)
    double decay_m = 0;        // sqrt(k S/g): where a third of the contact's excess is left
};

// Each wire is a fin with losses of its own: g is what it gives away per metre and kelvin at its own steady
// temperature, through its insulation, less what its loss grows per kelvin; k 390 W/(m K) for copper, 237 for
// aluminium (textbooks, memory). Linear, so the contact comes out somewhat too hot where it is much hotter
// than the wire. `wire.current_A` is the current through both; 0 gives the air's temperature and no decay.
ContactHeat contact_heat(const HeatedContact& contact, const HeatedWire& wire, const Air& air,
                         const HeatAssumptions& assumptions = {});

}  // namespace loomward
