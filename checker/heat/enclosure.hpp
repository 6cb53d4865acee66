// How much heat a closed box gives to the air around it, by its outside, its wall and its vents. An estimate:
// hand methods are good to a quarter (Power Electronics Handbook, secondary). Lengths in m, temperatures in
// degC, losses in W.
#pragma once
#include <optional>

namespace loomward {

struct Enclosure {
    double width_m = 0;  // outside; the back is the larger of the two upright faces
    double depth_m = 0;
    double height_m = 0;
    double emissivity = 0.9;  // of the wall, inside and out
    double wall_m2K_W = 0;    // conduction through it
    double vent_m2 = 0;       // free area at the top, and as much at the bottom; 0: sealed
    double vent_apart_m = 0;  // how far one lies above the other
    double altitude_m = 0;    // thin air takes less along
};

// Painted and plastic 0.9 (handbooks, memory); bare sheet 0.2, oxidised 0.1 to 0.3 (memory).
inline constexpr double painted_emissivity = 0.9, bare_emissivity = 0.2;
// 3 mm (no source) of 0.2 W/(m K) (memory).
inline constexpr double plastic_wall_m2K_W = 0.015;
// Of an opening: the least of two-way flow, ASHRAE Fundamentals 1997 chapter 25 equation 38; sharp openings
// apart from each other pass 0.60 to 0.65 (memory), grilles less.
inline constexpr double vent_discharge = 0.40;
// Nothing is followed beyond.
inline constexpr double hottest_inside_degC = 400;

// Area that counts of a box with its back against something and on its floor, m2: 1.4 W (H + D) + 1.8 D H
// (VDE 0660 part 500 as repeated in cooling forms and controller manuals).
double effective_area_m2(const Enclosure& box);

// Film of natural convection on an upright wall, W/(m2 K), Churchill and Chu (1975):
// Nu = (0.825 + 0.387 Ra^(1/6) / (1 + (0.492/Pr)^(9/16))^(8/27))^2. Valid Ra <= 1e12. `height_m` above 0.
double upright_film(double height_m, double surface_degC, double air_degC, double altitude_m = 0);

// What the wall passes, W: film and radiation inside, wall, film and radiation outside, in series, on the
// effective area. 0 where the inside is no hotter than the outside.
double through_wall_W(const Enclosure& box, double inside_degC, double outside_degC);

// What the air through the vents takes, W: Q = Cd A sqrt(2 g dH (Ti - To) / Ti) (ASHRAE Fundamentals 1997
// chapter 25 equation 37), P = rho cp Q (Ti - To), dH half the distance of equal openings.
double through_vents_W(const Enclosure& box, double inside_degC, double outside_degC);

// The inside at which the box gives away what is lost in it, to the last bits of a double; nullopt above
// 400 degC. `losses_W` not below 0.
std::optional<double> inside_degC(const Enclosure& box, double losses_W, double outside_degC);

// The temperature of a body of that size that stands free, all six faces in the open as upright walls of its
// height, by convection and radiation; its wall and vents mean nothing. nullopt above 400 degC. Against
// worked figures of cases in still air within a quarter (tests/checker/body_heat_test.cpp).
std::optional<double> free_body_degC(const Enclosure& body, double losses_W, double outside_degC);

}  // namespace loomward
