// Closed formulas of the textbooks that tests hold the simulation to. SI units.
#pragma once
#include <cmath>

namespace loomward::textbook {

// Charging C through R from empty. Fractions are of the supply voltage.
inline double precharge_time_s(double resistance_ohm, double capacitance_F, double fraction) {
    return -resistance_ohm * capacitance_F * std::log1p(-fraction);
}
inline double precharge_fraction(double resistance_ohm, double capacitance_F, double time_s) {
    return -std::expm1(-time_s / (resistance_ohm * capacitance_F));
}
inline double precharge_energy_J(double capacitance_F, double voltage_V) {
    return capacitance_F * voltage_V * voltage_V / 2;
}
// With a load across the capacitor it never gets beyond this voltage.
inline double precharge_end_V(double voltage_V, double resistance_ohm, double load_ohm) {
    return voltage_V * load_ohm / (resistance_ohm + load_ohm);
}
// Adiabatic, IEC 60364-4-43 434.5.2: time a conductor survives.
inline double withstand_s(double k, double area_mm2, double current_A) {
    const double root = k * area_mm2 / current_A;
    return root * root;
}

}  // namespace loomward::textbook
