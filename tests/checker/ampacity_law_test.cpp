// What must hold of an ampacity whatever the table says.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <vector>

#include "checker/tables/ampacity.hpp"
#include "checker/tables/conductors.hpp"

namespace ampacity_law_test {

using namespace loomward;

namespace {

const std::vector<Wrap> wraps{Wrap::open, Wrap::taped, Wrap::sleeved, Wrap::conduit, Wrap::foamed};

// From one legal end to the other, all nodes and points between.
std::vector<double> areas() {
    std::vector<double> list;
    for (double area_mm2 = 0.05; area_mm2 < 630; area_mm2 *= 1.03) list.push_back(area_mm2);
    for (int n = 30; n >= -3; --n) list.push_back(awg_area_mm2(n));
    for (const double size :
         {0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 50.0, 95.0, 120.0, 240.0, 630.0})
        list.push_back(size);
    std::sort(list.begin(), list.end());
    return list;
}

std::vector<double> classes() {
    std::vector<double> list;
    for (double class_degC = 20; class_degC <= 260; class_degC += 2.5) list.push_back(class_degC);
    return list;
}

double current_A(double area_mm2, double class_degC, const Surroundings& around, bool aluminium = false) {
    return ampacity_A(area_mm2, class_degC, aluminium, around);
}

}  // namespace

TEST_CASE("an ampacity rises with the area", "[ampacity]") {
    for (const Wrap wrap : wraps)
        for (const double class_degC :
             {45.0, 60.0, 70.0, 75.0, 85.0, 90.0, 105.0, 125.0, 150.0, 200.0, 250.0})
            for (const bool aluminium : {false, true}) {
                double before_A = 0;
                for (const double area_mm2 : areas()) {
                    const double now_A = current_A(area_mm2, class_degC, {40, wrap, 5}, aluminium);
                    INFO(area_mm2 << " mm2, " << class_degC << " degC, wrap " << static_cast<int>(wrap));
                    REQUIRE(now_A >= before_A * (1 - 1e-12));
                    before_A = now_A;
                }
                CHECK(before_A > 0);
            }
}

TEST_CASE("an ampacity rises with the class of the insulation", "[ampacity]") {
    for (const Wrap wrap : wraps)
        for (const double ambient_degC : {-40.0, 20.0, 30.0, 45.0, 80.0})
            for (const double area_mm2 : {0.05, 0.5, 0.9, 1.5, 2.5, 16.0, 35.0, 150.0, 630.0}) {
                double before_A = 0;
                for (const double class_degC : classes()) {
                    const double now_A = current_A(area_mm2, class_degC, {ambient_degC, wrap, 2});
                    INFO(area_mm2 << " mm2, " << class_degC << " degC in " << ambient_degC);
                    REQUIRE(std::isfinite(now_A));
                    // The correction for ambients below 30 degC shrinks with the class where the column does
                    // not grow.
                    if (ambient_degC >= 30) REQUIRE(now_A >= before_A * (1 - 1e-12));
                    before_A = now_A;
                }
            }
}

TEST_CASE("an ampacity falls with the ambient and is nothing at the limit of the insulation", "[ampacity]") {
    for (const Wrap wrap : wraps)
        for (const double class_degC : {50.0, 60.0, 90.0, 105.0, 200.0}) {
            double before_A = std::numeric_limits<double>::infinity();
            for (double ambient_degC = -60; ambient_degC <= 260; ambient_degC += 1) {
                const double now_A = current_A(6, class_degC, {ambient_degC, wrap, 1});
                INFO(ambient_degC << " degC, class " << class_degC);
                REQUIRE(now_A <= before_A);
                if (ambient_degC >= class_degC) REQUIRE(now_A == 0);
                if (ambient_degC < class_degC) REQUIRE(now_A > 0);
                before_A = now_A;
            }
        }
}

TEST_CASE("an ampacity falls with the company", "[ampacity]") {
    for (const Wrap wrap : wraps) {
        double before_A = std::numeric_limits<double>::infinity();
        for (int loaded = -1; loaded <= 500; ++loaded) {
            const double now_A = current_A(2.5, 105, {30, wrap, loaded});
            INFO(loaded << " loaded, wrap " << static_cast<int>(wrap));
            REQUIRE(now_A <= before_A);
            REQUIRE(now_A > 0);
            before_A = now_A;
        }
        CHECK(before_A < current_A(2.5, 105, {30, wrap, 40}));
    }
    // The largest count there is does not overflow.
    CHECK(std::isfinite(current_A(2.5, 105, {30, Wrap::open, std::numeric_limits<int>::max()})));
}

TEST_CASE("no conductor is given a higher current density than the smallest row of its column",
          "[ampacity]") {
    const double smallest_mm2 = awg_area_mm2(18);
    for (const double class_degC : classes()) {
        const double densest = free_air_A(smallest_mm2, class_degC) / smallest_mm2;
        for (const double area_mm2 : areas()) {
            INFO(area_mm2 << " mm2, " << class_degC << " degC");
            REQUIRE(free_air_A(area_mm2, class_degC) <= densest * area_mm2 * (1 + 1e-12));
            REQUIRE(raceway_A(area_mm2, class_degC) <= densest * area_mm2 * (1 + 1e-12));
            REQUIRE(raceway_A(area_mm2, class_degC) <= free_air_A(area_mm2, class_degC) * (1 + 1e-12));
        }
    }
}

TEST_CASE("an ampacity is continuous: a little more copper, a little more current", "[ampacity]") {
    for (const double class_degC : {60.0, 75.0, 83.0, 90.0, 105.0, 200.0})
        for (int n = 30; n >= -3; --n) {
            const double node_mm2 = awg_area_mm2(n);
            INFO(n << " AWG, " << class_degC << " degC");
            CHECK(free_air_A(node_mm2 * 1.000001, class_degC) ==
                  Approx(free_air_A(node_mm2, class_degC)).epsilon(1e-5));
            CHECK(free_air_A(node_mm2 / 1.000001, class_degC) ==
                  Approx(free_air_A(node_mm2, class_degC)).epsilon(1e-5));
        }
}

TEST_CASE("nothing is carried better wrapped than open, and buried in foam half as much", "[ampacity]") {
    for (const double area_mm2 : areas())
        for (const int loaded : {1, 2}) {
            INFO(area_mm2 << " mm2, " << loaded << " loaded");
            const double open_A = current_A(area_mm2, 90, {40, Wrap::open, loaded});
            for (const Wrap wrap : wraps)
                REQUIRE(current_A(area_mm2, 90, {40, wrap, loaded}) <= open_A * (1 + 1e-12));
            REQUIRE(current_A(area_mm2, 90, {40, Wrap::foamed, loaded}) == Approx(open_A / 2).epsilon(1e-12));
        }
}

TEST_CASE("the smallest size that passes passes, and the one below does not", "[ampacity]") {
    const Surroundings around{45, Wrap::taped, 4};
    // sqrt(60/75) x 0.6 = 0.537 of the free-air figure: 3 AWG 180 A, 4 AWG 160 A.
    CHECK(smallest_size(90, 105, false, around, true) == "3 AWG");
    CHECK(smallest_size(90, 105, false, around, false) == "25 mm2");
    CHECK(current_A(25, 105, around) >= 90);
    CHECK(current_A(16, 105, around) < 90);
    CHECK(smallest_size(330, 105, false, {}, true) == "2/0 AWG");  // a row of the table, exactly
    CHECK(smallest_size(331, 105, false, {}, true) == "3/0 AWG");
    CHECK(smallest_size(0.1, 90, false, {}, false) == "0.5 mm2");
    CHECK(smallest_size(10000, 200, false, {}, false).empty());
    CHECK(smallest_size(1, 60, false, {60, Wrap::open, 1}, true).empty());  // no size carries anything there
}

TEST_CASE("a size is named as AWG where it is one", "[ampacity]") {
    CHECK(size_text(awg_area_mm2(18)) == "18 AWG");
    CHECK(size_text(awg_area_mm2(0)) == "1/0 AWG");
    CHECK(size_text(awg_area_mm2(-3)) == "4/0 AWG");
    CHECK(size_text(16) == "16 mm2");
    CHECK(size_text(0.75) == "0.75 mm2");
    CHECK(size_text(0.8230) == "0.823 mm2");
}

TEST_CASE("resistance falls with the area, lies above the ideal, and rises with the temperature",
          "[conductors]") {
    for (const bool aluminium : {false, true}) {
        double before = std::numeric_limits<double>::infinity();
        for (const double area_mm2 : areas()) {
            const double now = resistance_ohm_per_m(area_mm2, aluminium);
            INFO(area_mm2 << " mm2, aluminium " << aluminium);
            REQUIRE(now < before * (1 + 1e-12));
            REQUIRE(now > smallest_resistance_ohm_per_m(area_mm2, aluminium));
            REQUIRE(now < 1.17 * smallest_resistance_ohm_per_m(area_mm2, aluminium));
            before = now;
        }
        before = 0;
        for (double degC = -70; degC <= 400; degC += 10) {
            REQUIRE(at_temperature(1, degC, aluminium) > before);
            before = at_temperature(1, degC, aluminium);
        }
    }
}

TEST_CASE("a connector is never given more than its rating, and nothing at its limit", "[conductors]") {
    CHECK(derated_A(120, 30, 105, 30) == 120);
    CHECK(derated_A(120, 30, 105, -20) == 120);
    CHECK(derated_A(120, 30, 105, 86.25) == Approx(60));  // a quarter of the rise is left: half the current
    CHECK(derated_A(120, 30, 105, 105) == 0);
    CHECK(derated_A(120, 30, 105, 200) == 0);
    CHECK(derated_A(120, 105, 105, 60) == 120);
}

TEST_CASE("insulation of no published limit is allowed its overload temperature in a short circuit",
          "[conductors]") {
    CHECK(short_circuit_limit_degC("unheard-of") == 160);
    CHECK(short_circuit_limit_degC("silicone", 180) == 230);
    CHECK(short_circuit_limit_degC("pvc", 105) == 160);
    CHECK(adiabatic_k(160, 160, false) == 0);
    CHECK(adiabatic_k(200, 160, false) == 0);
    for (double class_degC = 60; class_degC <= 250; class_degC += 5)
        CHECK(adiabatic_k(class_degC, short_circuit_limit_degC("unheard-of", class_degC), false) > 50);
}

}  // namespace ampacity_law_test
