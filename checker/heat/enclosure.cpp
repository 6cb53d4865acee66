#include "checker/heat/enclosure.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

#include "checker/heat/air.hpp"

namespace loomward {

namespace {

constexpr double kelvin = 273.15;
constexpr double air_J_kgK = 1006;  // handbooks (memory)

// Where a rising function crosses zero, to the last bits.
template <typename Function>
double crossing(const Function& rising, double low, double high) {
    const double at_low = rising(low), at_high = rising(high);
    if (at_low >= 0) return low;
    if (at_high <= 0) return high;
    std::uintmax_t steps = 200;
    const auto found = boost::math::tools::toms748_solve(
        rising, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(52), steps);
    return (found.first + found.second) / 2;
}

// Convection and radiation on one side of the wall, W/m2.
double side_W_m2(const Enclosure& box, double hot_degC, double cold_degC) {
    return upright_film(box.height_m, hot_degC, cold_degC, box.altitude_m) * (hot_degC - cold_degC) +
           radiated_W_m2(box.emissivity, hot_degC, cold_degC);
}

}  // namespace

double effective_area_m2(const Enclosure& box) {
    const double width_m = std::max(box.width_m, box.depth_m), depth_m = std::min(box.width_m, box.depth_m);
    return 1.4 * width_m * (box.height_m + depth_m) + 1.8 * depth_m * box.height_m;
}

double upright_film(double height_m, double surface_degC, double air_degC, double altitude_m) {
    const double mean_degC = (surface_degC + air_degC) / 2;
    const DryAir air = dry_air(mean_degC, altitude_m);
    const double rayleigh = gravity_m_s2 * std::abs(surface_degC - air_degC) * std::pow(height_m, 3) *
                            air.prandtl / ((mean_degC + kelvin) * air.viscosity_m2_s * air.viscosity_m2_s);
    const double shape = std::pow(1 + std::pow(0.492 / air.prandtl, 9.0 / 16), 8.0 / 27);
    const double nusselt = std::pow(0.825 + 0.387 * std::pow(rayleigh, 1.0 / 6) / shape, 2);
    return nusselt * air.conductivity_W_mK / height_m;
}

double through_wall_W(const Enclosure& box, double inside_degC, double outside_degC) {
    if (inside_degC <= outside_degC) return 0;
    // The wall's outside is where as much leaves it as comes through it.
    double flow_W_m2 = 0;
    crossing(
        [&](double wall_degC) {
            flow_W_m2 = side_W_m2(box, wall_degC, outside_degC);
            const double inner_degC = std::min(inside_degC, wall_degC + flow_W_m2 * box.wall_m2K_W);
            return flow_W_m2 - side_W_m2(box, inside_degC, inner_degC);
        },
        outside_degC, inside_degC);
    return effective_area_m2(box) * flow_W_m2;
}

double through_vents_W(const Enclosure& box, double inside_degC, double outside_degC) {
    if (inside_degC <= outside_degC || box.vent_m2 <= 0 || box.vent_apart_m <= 0) return 0;
    const double rise_K = inside_degC - outside_degC;
    const double flow_m3_s =
        vent_discharge * box.vent_m2 *
        std::sqrt(2 * gravity_m_s2 * box.vent_apart_m / 2 * rise_K / (inside_degC + kelvin));
    return dry_air(inside_degC, box.altitude_m).density_kg_m3 * air_J_kgK * flow_m3_s * rise_K;
}

std::optional<double> inside_degC(const Enclosure& box, double losses_W, double outside_degC) {
    if (losses_W <= 0) return outside_degC;
    const auto left_over = [&](double degC) {
        return through_wall_W(box, degC, outside_degC) + through_vents_W(box, degC, outside_degC) - losses_W;
    };
    if (outside_degC >= hottest_inside_degC || left_over(hottest_inside_degC) < 0) return std::nullopt;
    return crossing(left_over, outside_degC, hottest_inside_degC);
}

std::optional<double> free_body_degC(const Enclosure& body, double losses_W, double outside_degC) {
    if (losses_W <= 0) return outside_degC;
    const double area_m2 =
        2 * (body.width_m * body.depth_m + body.width_m * body.height_m + body.depth_m * body.height_m);
    const auto left_over = [&](double degC) {
        return degC <= outside_degC ? -losses_W : area_m2 * side_W_m2(body, degC, outside_degC) - losses_W;
    };
    if (outside_degC >= hottest_inside_degC || left_over(hottest_inside_degC) < 0) return std::nullopt;
    return crossing(left_over, outside_degC, hottest_inside_degC);
}

}  // namespace loomward
