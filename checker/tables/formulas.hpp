// Small closed formulas that the checks share. SI units unless the name says otherwise.
#pragma once
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

// Adiabatic, IEC 60364-4-43 434.5.2: time a conductor survives, and the area that survives. k as adiabatic_k.
double withstand_s(double k, double area_mm2, double current_A);
double surviving_area_mm2(double k, double current_A, double time_s);
// Current that melts a round wire in free air for long (Preece), and the diameter that melts at a current.
double preece_A(double diameter_mm, bool aluminium = false);
double preece_diameter_mm(double current_A, bool aluminium = false);
// Current that melts copper within `time_s`, no heat lost (Onderdonk, with 234 + Ta).
double onderdonk_A(double area_mm2, double time_s, double ambient_degC);

// Out and back is the caller's: `length_m` is all of the conductor.
double voltage_drop_V(double ohm_per_m, double length_m, double current_A);
// ABYC E-11: copper area in mm2 for a drop, K = 10.75 ohm cmil/ft; `length_m` out and back.
double area_for_drop_mm2(double current_A, double length_m, double drop_V);

// Precharging C through R. Fractions are of the supply voltage, below 1.
double precharge_time_s(double resistance_ohm, double capacitance_F, double fraction);
double precharge_fraction(double resistance_ohm, double capacitance_F, double time_s);
double precharge_energy_J(double capacitance_F, double voltage_V);  // in the resistor, from empty
double closing_current_A(double voltage_V, double fraction, double loop_ohm);
// With a load across the capacitor it never gets beyond this voltage.
double precharge_end_V(double voltage_V, double resistance_ohm, double load_ohm);
// Largest bleed resistor that brings C from `from_V` to `to_V` in time.
double bleed_resistance_ohm(double capacitance_F, double from_V, double to_V, double time_s);

// P / (efficiency V); efficiency 0..1.
double supply_current_A(double power_W, double efficiency, double voltage_V);
// sqrt(3) V_LL I cos(phi) / (efficiency V), rms values.
double three_phase_supply_current_A(double line_V, double phase_A, double cos_phi, double efficiency,
                                    double supply_V);
// The bus after `energy_J` came back with the battery gone.
double regenerated_V(double before_V, double energy_J, double capacitance_F);
double pack_resistance_ohm(int series, int parallel, double cell_ohm, double link_ohm = 0);

}  // namespace loomward
