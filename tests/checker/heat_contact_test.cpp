// Contacts: the derating curve against measured ones, and the wire as what cools them.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/heat/contact.hpp"

namespace heat_contact_test {

using namespace loomward;

namespace {

// The current at which a contact on its wires reaches `limit_degC`, by halving.
double contact_lasting_A(const HeatedContact& contact, double area_mm2, double limit_degC) {
    double low = 0;
    double high = 200;
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        const ContactHeat heat = contact_heat(contact, heated_wire(area_mm2, middle, Wall::thin), {25});
        (heat.settles && heat.contact_degC < limit_degC ? low : high) = middle;
    }
    return low;
}

double rise_K(double ohm, double area_mm2, double current_A, Wall wall) {
    return contact_heat({ohm}, heated_wire(area_mm2, current_A, wall), {25}).contact_degC - 25;
}

}  // namespace

TEST_CASE("the base curve meets printed derating within what it is known for") {
    // Terminal block catalogue: 32 A up to 42 degC, 19 A at 80 degC; limit 100 degC inferred.
    CHECK(contact_curve_A(32, 42, 100, 80, 1) == Approx(19).margin(0.3));
    CHECK(contact_curve_A(32, 42, 100, 100, 1) == 0);
    CHECK(contact_curve_A(32, 42, 100, 20, 1) == 32);
    CHECK(contact_curve_A(32, 42, 100, 42) == Approx(25.6));
    // Measured curves of derating sheets to IEC 60512-5-2 test 5b (aligned by order): from their 20 degC
    // point 12 percent below to 6.4 percent above the law, but for the last 10 K.
    struct Point {
        double at_20_A, limit_degC, ambient_degC, measured_A;
    };
    for (const Point& point :
         {Point{21.9, 150, 40, 20.2}, Point{21.9, 150, 60, 18.4}, Point{21.9, 150, 80, 16.3},
          Point{21.9, 150, 100, 13.8}, Point{21.9, 150, 120, 10.7}, Point{21.9, 150, 140, 6.1},
          Point{8.6, 85, 40, 7.05}, Point{8.6, 85, 60, 5.15}, Point{8.6, 85, 70, 3.9},
          Point{15.8, 125, 40, 14.6}, Point{15.8, 125, 60, 13.0}, Point{15.8, 125, 80, 11.0},
          Point{15.8, 125, 100, 8.2}}) {
        CAPTURE(point.limit_degC, point.ambient_degC);
        const double law_A = contact_curve_A(point.at_20_A, 20, point.limit_degC, point.ambient_degC, 1);
        CHECK(point.measured_A > 0.88 * law_A);
        CHECK(point.measured_A < 1.065 * law_A);
    }
}

TEST_CASE("a contact's heat goes where a fin's does") {
    // 4 mm2: decay length 0.10 m, 0.015 W/K for one wire (hand calculation with 12 W/(m2 K)).
    const HeatedWire wire = heated_wire(4, 10, Wall::thick);
    const ContactHeat heat = contact_heat({0.001}, wire, {25});
    CHECK(heat.decay_m == Approx(0.10).epsilon(0.1));
    CHECK(heat.taken_W_per_K == Approx(0.015).epsilon(0.1));
    // The excess over the wire is the loss over what both wires take.
    CHECK(heat.contact_degC - heat.wire_degC == Approx(0.1 / (2 * heat.taken_W_per_K)));
    // Without resistance it is as hot as its wire; with a surface of its own cooler; on a short wire hotter.
    CHECK(contact_heat({0}, wire, {25}).contact_degC == Approx(heat.wire_degC));
    CHECK(contact_heat({0.001, 0.01}, wire, {25}).contact_degC < heat.contact_degC);
    CHECK(contact_heat({0.001, 0, 2, 0.05}, wire, {25}).contact_degC > heat.contact_degC + 1);
    CHECK(contact_heat({0.001, 0, 2, 1.0}, wire, {25}).contact_degC ==
          Approx(heat.contact_degC).epsilon(1e-4));
    CHECK(contact_heat({0.001, 0, 4}, wire, {25}).contact_degC < heat.contact_degC);
}

TEST_CASE("a thinner wire makes a contact hotter as a printed table of currents says") {
    // Many-pole connector, product specification: the current of one contact on AWG 18 to 28, as a part of
    // that on AWG 18. The contact's resistance is not printed; 5 mohm (no source) meets the five within 6
    // percent, and whatever it is they lie between a contact that loses nothing and one that loses all.
    constexpr double printed[][2] = {{20, 0.795}, {22, 0.647}, {24, 0.536}, {26, 0.45}, {28, 0.384}};
    const double base_A = contact_lasting_A({0.005}, awg_area_mm2(18), 55);
    const double least_A = contact_lasting_A({0}, awg_area_mm2(18), 55);
    const double most_A = contact_lasting_A({1}, awg_area_mm2(18), 55);
    for (const auto& [n, factor] : printed) {
        const double area_mm2 = awg_area_mm2(static_cast<int>(n));
        CAPTURE(n);
        CHECK(contact_lasting_A({0.005}, area_mm2, 55) / base_A == Approx(factor).epsilon(0.06));
        CHECK(contact_lasting_A({0}, area_mm2, 55) / least_A < factor);
        CHECK(contact_lasting_A({1}, area_mm2, 55) / most_A > factor);
    }
}

TEST_CASE("30 A: from 3.3 to 2.1 mm2 a contact's rise grows by half to four fifths, not threefold") {
    // The wire alone would give (3.3/2.1)^1.5 = 2.0 with one film for both; the thinner wire has the better
    // film.
    for (const Wall wall : {Wall::thin, Wall::thick})
        for (const double ohm : {0.0, 0.0005, 0.001, 0.002, 0.003}) {
            const double ratio = rise_K(ohm, 2.08, 30, wall) / rise_K(ohm, 3.31, 30, wall);
            CAPTURE(ohm, ratio);
            CHECK(ratio > 1.45);
            CHECK(ratio < 1.85);
        }
}

TEST_CASE("the rise follows the current as contacts are known to: about I to the power of 1.7 to 2.3") {
    // Connector literature (memory): I^1.7 to I^2 for the contact; here copper that warms adds to it.
    const double exponent =
        std::log(rise_K(0.001, 4, 40, Wall::thin) / rise_K(0.001, 4, 30, Wall::thin)) / std::log(40.0 / 30);
    CHECK(exponent > 1.7);
    CHECK(exponent < 2.3);
}

TEST_CASE("a wire that runs away takes its contact with it, and no current leaves it cold") {
    CHECK_FALSE(contact_heat({0.001}, heated_wire(1, 200, Wall::thin), {25}).settles);
    CHECK(contact_heat({0.001}, heated_wire(1, 0, Wall::thin), {25}).contact_degC == 25);
}

}  // namespace heat_contact_test
