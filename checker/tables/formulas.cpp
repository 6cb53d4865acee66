#include "checker/tables/formulas.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace loomward {

namespace {

constexpr double mm_per_inch = 25.4;
constexpr double mm2_per_circular_mil = std::numbers::pi / 4 * 0.0254 * 0.0254;

double square(double value) {
    return value * value;
}

// Heat at the end of a level, in A2 (see equivalent_current_A).
double after_level(double heat_A2, const HeatLevel& level, double tau_s) {
    if (level.duration_s <= 0) return heat_A2;
    const double reached = -std::expm1(-level.duration_s / tau_s);
    return heat_A2 + (square(level.current_A) - heat_A2) * reached;
}

// Where the settled cycle begins: the mean of the squared currents, each weighed with what is left of it at
// the end of the cycle.
double settled_start(std::span<const HeatLevel> levels, double tau_s) {
    double total_s = 0;
    double plain_sum = 0;
    for (const HeatLevel& level : levels) {
        total_s += level.duration_s;
        plain_sum += square(level.current_A) * level.duration_s;
    }
    if (total_s <= 0) return levels.empty() ? 0 : square(levels.back().current_A);
    const double cycle = -std::expm1(-total_s / tau_s);
    if (!(cycle > 1e-12)) return plain_sum / total_s;  // the cycle is far too short for any ripple
    double heat = 0;
    for (const HeatLevel& level : levels) heat = after_level(heat, level, tau_s);
    return heat / cycle;
}

}  // namespace

double overload_time_s(double current_A, double before_A, double limit_A, double tau_s) {
    if (current_A <= limit_A) return std::numeric_limits<double>::infinity();
    if (before_A >= limit_A) return 0;
    // log1p keeps the digits where the current is far above both.
    const double above = square(current_A) - square(limit_A);
    return tau_s * std::log1p((square(limit_A) - square(before_A)) / above);
}

double equivalent_current_A(std::span<const HeatLevel> levels, bool repeating, double tau_s,
                            double before_A) {
    double heat = repeating ? settled_start(levels, tau_s) : square(before_A);
    double peak = heat;
    for (const HeatLevel& level : levels) {
        heat = after_level(heat, level, tau_s);
        peak = std::max(peak, heat);
    }
    if (!repeating && !levels.empty()) peak = std::max(peak, square(levels.back().current_A));
    return std::sqrt(peak);
}

double withstand_s(double k, double area_mm2, double current_A) {
    return square(k * area_mm2 / current_A);
}

double surviving_area_mm2(double k, double current_A, double time_s) {
    return current_A * std::sqrt(time_s) / k;
}

double preece_A(double diameter_mm, bool aluminium) {
    return (aluminium ? 7585 : 10244) * std::pow(diameter_mm / mm_per_inch, 1.5);
}

double preece_diameter_mm(double current_A, bool aluminium) {
    return mm_per_inch * std::pow(current_A / (aluminium ? 7585 : 10244), 2.0 / 3);
}

double onderdonk_A(double area_mm2, double time_s, double ambient_degC) {
    const double melting_degC = 1083;
    const double rise = std::log10((melting_degC - ambient_degC) / (234 + ambient_degC) + 1);
    return area_mm2 / mm2_per_circular_mil * std::sqrt(rise / (33 * time_s));
}

double voltage_drop_V(double ohm_per_m, double length_m, double current_A) {
    return ohm_per_m * length_m * current_A;
}

double area_for_drop_mm2(double current_A, double length_m, double drop_V) {
    const double length_ft = length_m / 0.3048;
    return 10.75 * current_A * length_ft / drop_V * mm2_per_circular_mil;
}

double precharge_time_s(double resistance_ohm, double capacitance_F, double fraction) {
    return -resistance_ohm * capacitance_F * std::log1p(-fraction);
}

double precharge_fraction(double resistance_ohm, double capacitance_F, double time_s) {
    return -std::expm1(-time_s / (resistance_ohm * capacitance_F));
}

double precharge_energy_J(double capacitance_F, double voltage_V) {
    return capacitance_F * square(voltage_V) / 2;
}

double closing_current_A(double voltage_V, double fraction, double loop_ohm) {
    return voltage_V * (1 - fraction) / loop_ohm;
}

double precharge_end_V(double voltage_V, double resistance_ohm, double load_ohm) {
    return voltage_V * load_ohm / (resistance_ohm + load_ohm);
}

double bleed_resistance_ohm(double capacitance_F, double from_V, double to_V, double time_s) {
    return time_s / (capacitance_F * std::log(from_V / to_V));
}

double supply_current_A(double power_W, double efficiency, double voltage_V) {
    return power_W / (efficiency * voltage_V);
}

double three_phase_supply_current_A(double line_V, double phase_A, double cos_phi, double efficiency,
                                    double supply_V) {
    return std::numbers::sqrt3 * line_V * phase_A * cos_phi / (efficiency * supply_V);
}

double regenerated_V(double before_V, double energy_J, double capacitance_F) {
    return std::sqrt(square(before_V) + 2 * energy_J / capacitance_F);
}

double pack_resistance_ohm(int series, int parallel, double cell_ohm, double link_ohm) {
    return series * cell_ohm / parallel + link_ohm;
}

}  // namespace loomward
