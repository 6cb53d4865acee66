// Small closed formulas that the checks share. SI units unless the name says otherwise.
#pragma once
#include <cstddef>
#include <span>

namespace loomward {

// IEC 60255-149: time until a conductor that carried `before_A` reaches its limit at `current_A`:
// tau ln((I2 - Ip2)/(I2 - Iz2)). Infinite at or below `limit_A`, 0 if it is there already.
double overload_time_s(double current_A, double before_A, double limit_A, double tau_s);

// One level of a load profile.
struct HeatLevel {
    double current_A = 0;
    double duration_s = 0;  // may be infinite for the last level of a profile that does not repeat
};
// The continuous current that heats as much as the worst moment of a profile, by the first-order model
// x' = (I2 - x)/tau: Iz sqrt(peak heating fraction), whatever Iz. Exact: between changes x is monotone, so
// its peak is at the end of a level. Repeating: the settled cycle. Otherwise: from the heat of `before_A`,
// the last level staying for ever.
double equivalent_current_A(std::span<const HeatLevel> levels, bool repeating, double tau_s,
                            double before_A = 0);
// The level at whose end (or, where it cools, at whose beginning) that moment is.
struct HottestLevel {
    double current_A = 0;   // what equivalent_current_A gives
    double before_A = 0;    // the same at the beginning of that level
    std::size_t level = 0;  // index; 0 where there are none
};
HottestLevel hottest_level(std::span<const HeatLevel> levels, bool repeating, double tau_s,
                           double before_A = 0);

// Largest bleed resistor that brings C from `from_V` to `to_V` in time.
double bleed_resistance_ohm(double capacitance_F, double from_V, double to_V, double time_s);

}  // namespace loomward
