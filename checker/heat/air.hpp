// Dry air, and what a horizontal cylinder gives to it. Temperatures in degC, lengths in m, films in W/(m2 K).
#pragma once

namespace loomward {

inline constexpr double gravity_m_s2 = 9.80665;  // standard gravity (memory)

// Properties at one film temperature, the mean of a surface's and the air's.
struct DryAir {
    double conductivity_W_mK = 0;
    double viscosity_m2_s = 0;  // kinematic
    double prandtl = 0;
    double density_kg_m3 = 0;
};

// International Standard Atmosphere (ISO 2533, memory): troposphere and the isothermal layer above 11 km.
// Valid -1000..20000 m; outside as at the nearer end.
double air_pressure_Pa(double altitude_m);

// Viscosity by Sutherland's law, conductivity as the US Standard Atmosphere 1976 gives it, the specific heat
// 1002.5 + 275e-6 (T - 200)^2 J/(kg K) (handbook fit), the ideal gas law (all memory); within 1.5 percent of
// a textbook table, viscosity within 2.6 percent. Valid -70..500 degC; only viscosity and density depend on
// altitude.
DryAir dry_air(double film_degC, double altitude_m = 0);

// Natural convection from a long horizontal cylinder, Churchill and Chu (1975):
// Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2, Ra = g dT D^3 Pr / (Tf nu^2).
// Valid 1e-5 < Ra <= 1e12. The sign of the difference does not matter. `diameter_m` above 0.
double natural_film(double diameter_m, double surface_degC, double air_degC, const DryAir& film);

// A cylinder across moving air, Churchill and Bernstein (1977, memory):
// Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3) (1 + (Re/282000)^(5/8))^(4/5) / (1 + (0.4/Pr)^(2/3))^(1/4).
// Valid for Re Pr >= 0.2 (1 m/s: from 0.005 mm), Re up to 1e7. 0 in still air.
double forced_film(double diameter_m, double speed_m_s, const DryAir& film);

// Radiation per area to surroundings of one temperature, W/m2: e sigma (T1^4 - T2^4), sigma 5.670374e-8
// (CODATA). Negative where the surroundings are hotter.
double radiated_W_m2(double emissivity, double surface_degC, double surroundings_degC);

// The space around a harness. Radiation goes to surroundings at air temperature.
struct Air {
    double air_degC = 30;
    double altitude_m = 0;
    double speed_m_s = 0;  // across the wire
};

// What a cylinder at `surface_degC` gives to its air and surroundings, W per metre of length. Of natural and
// forced convection the larger counts, which is the lower estimate of the two together.
double given_W_per_m(double diameter_m, double surface_degC, double emissivity, const Air& air);

// Heat across the gap between a body and a tube around it, concentric, W per metre of length: conduction,
// raised by natural convection after Raithby and Hollands (1975, memory), and radiation between two surfaces
// of one emissivity. Valid 0.7 <= Pr, Ra* <= 1e7. Both diameters in m, 0 < body < tube; the body the hotter
// one.
double across_gap_W_per_m(double body_m, double tube_m, double body_degC, double tube_degC, double emissivity,
                          double altitude_m = 0);

}  // namespace loomward
