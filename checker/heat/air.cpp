#include "checker/heat/air.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loomward {

namespace {

constexpr double zero_degC_K = 273.15;
constexpr double gas_constant_J_kgK = 287.053;  // of dry air
constexpr double stefan_boltzmann = 5.670374e-8;

double fourth_power(double value) {
    return value * value * value * value;
}

}  // namespace

double air_pressure_Pa(double altitude_m) {
    constexpr double ground_Pa = 101325;
    if (altitude_m == 0) return ground_Pa;
    constexpr double tropopause_m = 11000;
    constexpr double lapse_K_m = 0.0065;
    constexpr double ground_K = 288.15;
    constexpr double tropopause_K = ground_K - lapse_K_m * tropopause_m;
    const double height_m = std::clamp(altitude_m, -1000.0, 20000.0);
    const double low_m = std::min(height_m, tropopause_m);
    const double low_Pa = ground_Pa * std::pow(1 - lapse_K_m * low_m / ground_K,
                                               gravity_m_s2 / (gas_constant_J_kgK * lapse_K_m));
    return low_Pa * std::exp(-gravity_m_s2 * (height_m - low_m) / (gas_constant_J_kgK * tropopause_K));
}

DryAir dry_air(double film_degC, double altitude_m) {
    const double film_K = film_degC + zero_degC_K;
    const double root = film_K * std::sqrt(film_K);
    DryAir air;
    air.conductivity_W_mK = 2.64638e-3 * root / (film_K + 245.4 * std::pow(10.0, -12 / film_K));
    air.density_kg_m3 = air_pressure_Pa(altitude_m) / (gas_constant_J_kgK * film_K);
    const double viscosity_Pa_s = 1.458e-6 * root / (film_K + 110.4);
    air.viscosity_m2_s = viscosity_Pa_s / air.density_kg_m3;
    const double heat_J_kgK = 1002.5 + 275e-6 * (film_K - 200) * (film_K - 200);
    air.prandtl = viscosity_Pa_s * heat_J_kgK / air.conductivity_W_mK;
    return air;
}

double natural_film(double diameter_m, double surface_degC, double air_degC, const DryAir& film) {
    const double film_K = (surface_degC + air_degC) / 2 + zero_degC_K;
    const double rayleigh = gravity_m_s2 * std::abs(surface_degC - air_degC) * std::pow(diameter_m, 3) *
                            film.prandtl / (film_K * film.viscosity_m2_s * film.viscosity_m2_s);
    const double spread = std::pow(1 + std::pow(0.559 / film.prandtl, 9.0 / 16), 8.0 / 27);
    const double root = 0.60 + 0.387 * std::pow(rayleigh, 1.0 / 6) / spread;
    return root * root * film.conductivity_W_mK / diameter_m;
}

double forced_film(double diameter_m, double speed_m_s, const DryAir& film) {
    if (speed_m_s <= 0) return 0;
    const double reynolds = speed_m_s * diameter_m / film.viscosity_m2_s;
    const double spread = std::pow(1 + std::pow(0.4 / film.prandtl, 2.0 / 3), 0.25);
    const double nusselt = 0.3 + 0.62 * std::sqrt(reynolds) * std::cbrt(film.prandtl) / spread *
                                     std::pow(1 + std::pow(reynolds / 282000, 5.0 / 8), 0.8);
    return nusselt * film.conductivity_W_mK / diameter_m;
}

double radiated_W_m2(double emissivity, double surface_degC, double surroundings_degC) {
    return emissivity * stefan_boltzmann *
           (fourth_power(surface_degC + zero_degC_K) - fourth_power(surroundings_degC + zero_degC_K));
}

double given_W_per_m(double diameter_m, double surface_degC, double emissivity, const Air& air) {
    const DryAir film = dry_air((surface_degC + air.air_degC) / 2, air.altitude_m);
    const double convection = std::max(natural_film(diameter_m, surface_degC, air.air_degC, film),
                                       forced_film(diameter_m, air.speed_m_s, film));
    return std::numbers::pi * diameter_m *
           (convection * (surface_degC - air.air_degC) +
            radiated_W_m2(emissivity, surface_degC, air.air_degC));
}

double across_gap_W_per_m(double body_m, double tube_m, double body_degC, double tube_degC, double emissivity,
                          double altitude_m) {
    const double mean_degC = (body_degC + tube_degC) / 2;
    const DryAir film = dry_air(mean_degC, altitude_m);
    const double ratio = std::log(tube_m / body_m);
    const double rayleigh = gravity_m_s2 * std::abs(body_degC - tube_degC) * film.prandtl *
                            std::pow(ratio, 4) /
                            ((mean_degC + zero_degC_K) * film.viscosity_m2_s * film.viscosity_m2_s *
                             std::pow(std::pow(body_m, -0.6) + std::pow(tube_m, -0.6), 5));
    const double raised =
        std::max(1.0, 0.386 * std::pow(film.prandtl / (0.861 + film.prandtl) * rayleigh, 0.25));
    const double conducted =
        2 * std::numbers::pi * raised * film.conductivity_W_mK * (body_degC - tube_degC) / ratio;
    const double both = 1 / (1 / emissivity + (1 - emissivity) / emissivity * body_m / tube_m);
    return conducted + std::numbers::pi * body_m * radiated_W_m2(both, body_degC, tube_degC);
}

}  // namespace loomward
