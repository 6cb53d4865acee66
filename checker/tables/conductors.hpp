// What conductors resist, carry and survive, from published figures (docs/sources.md). The checker itself
// uses these functions; the tests compare them with the printed values.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace loomward {

// ASTM B258: d = 0.127 mm * 92^((36 - n)/39), n = 0 for 1/0, -1 for 2/0, ... Valid for -3 <= n <= 40.
double awg_area_mm2(int n);

// Largest resistance of one conductor in ohm per metre at 20 degC. Copper: IEC 60228 class 5 plain, aluminium
// class 2, at the standard's sizes; between them (AWG sizes as well) straight in log-log, which never rises
// with the area. Below 0.5 mm2 the ideal resistivity times the allowance of 0.5 mm2; aluminium below 10 mm2:
// the allowance of copper there. Valid 0.05..630 mm2.
double resistance_ohm_per_m(double area_mm2, bool aluminium);
// Smallest believable resistance, for the largest fault current: the ideal resistivity over the area.
double smallest_resistance_ohm_per_m(double area_mm2, bool aluminium);
// R(T) = R20 (1 + alpha (T - 20)), alpha 0.00393 / 0.00403 1/K. Valid -70..400 degC.
double at_temperature(double resistance_20_ohm, double temperature_degC, bool aluminium);

enum class Wrap { open, taped, sleeved, conduit, foamed };

struct Surroundings {
    double ambient_degC = 30;
    Wrap wrap = Wrap::open;
    int loaded_conductors = 1;  // in the same bundle, itself included
};

// How a limit was worked out, ready to print.
struct Ampacity {
    double current_A = 0;
    double base_A = 0;  // one conductor in free air (conduit: three in a raceway), 30 degC, its material
    double ambient_factor = 1;
    double grouping_factor = 1;
    double wrap_factor = 1;
    std::string working;  // "133 A (16 mm2, 105 degC) x 0.86 (50 degC) x 0.6 (6 loaded together)"
    std::string source;
};

// The continuous current one conductor may carry. `insulation_limit_degC` is the class of its insulation, or
// the policy's lower limit. Valid 0.05..630 mm2, 60..250 degC (below 60: scaled down by the ambient formula).
// An ambient at or above the limit gives 0 A. The steps one by one: ampacity.hpp.
Ampacity ampacity(double area_mm2, double insulation_limit_degC, bool aluminium,
                  const Surroundings& surroundings);

// Only its current_A, without the texts: much quicker where every wire is asked for.
double ampacity_A(double area_mm2, double insulation_limit_degC, bool aluminium,
                  const Surroundings& surroundings);

// The smallest size of the standard series (mm2, or AWG where `awg`) whose ampacity is at least `current_A`;
// empty if none is. Text as the language writes it: "25 mm2", "2 AWG".
std::string smallest_size(double current_A, double insulation_limit_degC, bool aluminium,
                          const Surroundings& surroundings, bool awg);

// The first size of the standard series at or above this one, mm2; beyond the series this one.
double standard_size_from(double area_mm2);

// k of I2t = k2 S2 (IEC 60949): A s^0.5 / mm2. From and to in degC.
double adiabatic_k(double from_degC, double to_degC, bool aluminium);
// Largest temperature at the end of a short circuit for an insulation family, degC (IEC 60364-5-54): "pvc",
// "xlpe", "epr", "butyl", "rubber". Any other: its class plus 50 K (overload temperature of ISO 6722,
// memory), at least 160. `class_degC` 0: not known.
double short_circuit_limit_degC(std::string_view insulation, double class_degC = 0, double area_mm2 = 0);
// tau of the thermal model of IEC 60255-149 in seconds: k2 S2 / Iz2, k from ambient to rated temperature.
// `ampacity_A` above 0.
double time_constant_s(double area_mm2, double k, double ampacity_A);

// Connector derating, base curve of IEC 60512-5-2: I(T) = Ir sqrt((Tmax - T)/(Tmax - Tr)); 0 at or above
// Tmax, never above the rating.
double derated_A(double rated_A, double rated_at_degC, double limit_degC, double ambient_degC);

// The standard ratings of NFPA 70 240.6(A), with the small ones for fuses, rising.
const std::vector<double>& standard_ratings_A();

}  // namespace loomward
