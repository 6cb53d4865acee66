#include "checker/tables/conductors.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "checker/tables/ampacity.hpp"

namespace loomward {

namespace {

// IEC 60028 and IEC 60889, ohm mm2/m at 20 degC.
constexpr double copper_resistivity = 17.241e-3;
constexpr double aluminium_resistivity = 28.264e-3;

// IEC 60228:2004, largest resistance at 20 degC in ohm/km: copper class 5 plain, aluminium class 2 (0: none).
struct StandardSize {
    double area_mm2;
    double copper;
    double aluminium;
};
constexpr std::array<StandardSize, 22> standard_sizes{{
    {0.5, 39.0, 0},        {0.75, 26.0, 0},       {1, 19.5, 0},         {1.5, 13.3, 0},
    {2.5, 7.98, 0},        {4, 4.95, 0},          {6, 3.30, 0},         {10, 1.91, 3.08},
    {16, 1.21, 1.91},      {25, 0.780, 1.20},     {35, 0.554, 0.868},   {50, 0.386, 0.641},
    {70, 0.272, 0.443},    {95, 0.206, 0.320},    {120, 0.161, 0.253},  {150, 0.129, 0.206},
    {185, 0.106, 0.164},   {240, 0.0801, 0.125},  {300, 0.0641, 0.100}, {400, 0.0486, 0.0778},
    {500, 0.0384, 0.0605}, {630, 0.0287, 0.0469},
}};
constexpr std::size_t first_aluminium = 7;

double standard_ohm_per_km(std::size_t size, bool aluminium) {
    return aluminium ? standard_sizes[size].aluminium : standard_sizes[size].copper;
}

// How much the standard allows over the ideal resistance at one of its sizes.
double allowance(std::size_t size, bool aluminium) {
    const double area_mm2 = standard_sizes[size].area_mm2;
    return standard_ohm_per_km(size, aluminium) / 1000 / smallest_resistance_ohm_per_m(area_mm2, aluminium);
}

// Sizes one can buy, smallest first, with their AWG number where they are AWG.
constexpr std::array<int, 18> awg_series{24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3};

std::string awg_text(int n) {
    return n > 0 ? fmt::format("{} AWG", n) : fmt::format("{}/0 AWG", 1 - n);
}

}  // namespace

double awg_area_mm2(int n) {
    const double diameter_mm = 0.127 * std::pow(92.0, (36.0 - n) / 39.0);
    return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

double smallest_resistance_ohm_per_m(double area_mm2, bool aluminium) {
    return (aluminium ? aluminium_resistivity : copper_resistivity) / area_mm2;
}

double resistance_ohm_per_m(double area_mm2, bool aluminium) {
    const double ideal = smallest_resistance_ohm_per_m(area_mm2, aluminium);
    const std::size_t first = aluminium ? first_aluminium : 0;
    if (area_mm2 < standard_sizes[first].area_mm2) {
        // No aluminium figure below 10 mm2: the allowance copper has at this size, the larger one.
        if (aluminium)
            return resistance_ohm_per_m(area_mm2, false) * aluminium_resistivity / copper_resistivity;
        return ideal * allowance(0, false);
    }
    std::size_t size = first;
    while (size + 1 < standard_sizes.size() && standard_sizes[size + 1].area_mm2 <= area_mm2) ++size;
    const StandardSize& here = standard_sizes[size];
    if (here.area_mm2 == area_mm2) return standard_ohm_per_km(size, aluminium) / 1000;
    if (size + 1 == standard_sizes.size()) return ideal * allowance(size, aluminium);
    // Straight in log-log, so that the resistance never rises with the area.
    const double here_ohm_per_km = standard_ohm_per_km(size, aluminium);
    const double exponent = std::log(standard_ohm_per_km(size + 1, aluminium) / here_ohm_per_km) /
                            std::log(standard_sizes[size + 1].area_mm2 / here.area_mm2);
    return here_ohm_per_km / 1000 * std::pow(area_mm2 / here.area_mm2, exponent);
}

double at_temperature(double resistance_20_ohm, double temperature_degC, bool aluminium) {
    return resistance_20_ohm * (1 + (aluminium ? 0.00403 : 0.00393) * (temperature_degC - 20));
}

std::string size_text(double area_mm2) {
    for (const int n : awg_series)
        if (std::abs(area_mm2 / awg_area_mm2(n) - 1) < 1e-6) return awg_text(n);
    return fmt::format("{:.4g} mm2", area_mm2);
}

std::string smallest_size(double current_A, double insulation_limit_degC, bool aluminium,
                          const Surroundings& surroundings, bool awg) {
    const auto is_enough = [&](double area_mm2) {
        return ampacity_A(area_mm2, insulation_limit_degC, aluminium, surroundings) >= current_A;
    };
    if (awg) {
        for (const int n : awg_series)
            if (is_enough(awg_area_mm2(n))) return awg_text(n);
        return {};
    }
    for (const StandardSize& size : standard_sizes)
        if (is_enough(size.area_mm2)) return size_text(size.area_mm2);
    return {};
}

double standard_size_from(double area_mm2) {
    for (const StandardSize& size : standard_sizes)
        if (size.area_mm2 >= area_mm2 * (1 - 1e-9)) return size.area_mm2;
    return area_mm2;
}

double adiabatic_k(double from_degC, double to_degC, bool aluminium) {
    if (to_degC <= from_degC) return 0;
    const double beta = aluminium ? 228 : 234.5;
    return (aluminium ? 148 : 226) * std::sqrt(std::log((beta + to_degC) / (beta + from_degC)));
}

double short_circuit_limit_degC(std::string_view insulation, double class_degC, double area_mm2) {
    if (insulation == "pvc") return area_mm2 > 300 ? 140 : 160;
    if (insulation == "xlpe" || insulation == "epr") return 250;
    if (insulation == "butyl") return 220;
    if (insulation == "rubber") return 200;
    return std::max(160.0, class_degC + 50);
}

double time_constant_s(double area_mm2, double k, double ampacity_A) {
    const double ratio = k * area_mm2 / ampacity_A;
    return ratio * ratio;
}

double derated_A(double rated_A, double rated_at_degC, double limit_degC, double ambient_degC) {
    if (ambient_degC >= limit_degC) return 0;
    if (ambient_degC <= rated_at_degC) return rated_A;
    return rated_A * std::sqrt((limit_degC - ambient_degC) / (limit_degC - rated_at_degC));
}

const std::vector<double>& standard_ratings_A() {
    static const std::vector<double> ratings{1,   3,   6,   10,  15,  20,  25,  30,  35,  40,
                                             45,  50,  60,  70,  80,  90,  100, 110, 125, 150,
                                             175, 200, 225, 250, 300, 350, 400, 450, 500, 600};
    return ratings;
}

}  // namespace loomward
