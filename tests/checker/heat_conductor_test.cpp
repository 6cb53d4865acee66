// Steady temperatures of wires and bundles: what must hold whatever the assumptions. Published tables:
// heat_tables_test.cpp.
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <stdexcept>

#include "checker/heat/conductor_temperature.hpp"

namespace heat_conductor_test {

using namespace loomward;

namespace {

HeatedBundle alike(std::size_t count, double area_mm2, double current_A) {
    return {std::vector<HeatedWire>(count, heated_wire(area_mm2, current_A, Wall::thin)), {}};
}

HeatedBundle wrapped(HeatedBundle bundle, Wrap wrap) {
    if (const auto layer = layer_of(wrap, body_mm(bundle))) bundle.layers.push_back(*layer);
    return bundle;
}

double hottest(const HeatedBundle& bundle, const Air& air = {}) {
    const SteadyHeat heat = steady_heat(bundle, air);
    CHECK(heat.settles);
    return heat.hottest_degC;
}

double lost_W_per_m(const HeatedBundle& bundle, const SteadyHeat& heat) {
    double sum = 0;
    for (std::size_t i = 0; i < bundle.wires.size(); ++i) {
        const HeatedWire& wire = bundle.wires[i];
        sum += wire.current_A * wire.current_A *
               at_temperature(wire.ohm_per_m, heat.wire_degC[i], wire.aluminium);
    }
    return sum;
}

HeatedBundle random_bundle(std::mt19937& random) {
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    HeatedBundle bundle;
    const int wires = std::uniform_int_distribution<int>(1, 30)(random);
    for (int i = 0; i < wires; ++i) {
        const double area_mm2 = std::exp(between(std::log(0.2), std::log(70.0)));
        const double current_A = between(0, 1) < 0.3 ? 0 : between(0, 3) * std::pow(area_mm2, 0.7);
        bundle.wires.push_back(
            heated_wire(area_mm2, current_A, between(0, 1) < 0.5 ? Wall::thin : Wall::thick, i % 5 == 4));
    }
    bundle.wires.front().current_A = 1;
    constexpr Wrap wraps[] = {Wrap::open, Wrap::taped, Wrap::sleeved, Wrap::conduit, Wrap::foamed};
    return wrapped(std::move(bundle), wraps[std::uniform_int_distribution<int>(0, 4)(random)]);
}

}  // namespace

TEST_CASE("one wire loses what its surface gives away, and its insulation carries that") {
    const HeatedBundle bundle = alike(1, 2.5, 30);
    const HeatedWire& wire = bundle.wires.front();
    const SteadyHeat heat = steady_heat(bundle, {25});
    REQUIRE(heat.settles);
    CHECK(heat.lost_W_per_m == Approx(lost_W_per_m(bundle, heat)));
    CHECK(heat.lost_W_per_m ==
          Approx(given_W_per_m(wire.outer_mm / 1000, heat.surface_degC, HeatAssumptions{}.emissivity, {25})));
    CHECK(heat.hottest_degC - heat.surface_degC ==
          Approx(heat.lost_W_per_m * std::log(wire.outer_mm / wire.conductor_mm) /
                 (2 * std::numbers::pi * 0.19)));
}

TEST_CASE("in 300 random bundles all that is lost is given away, and the limit is found again") {
    std::mt19937 random(7);
    for (int i = 0; i < 300; ++i) {
        HeatedBundle bundle = random_bundle(random);
        CAPTURE(i);
        const double factor = lasting_factor(bundle, 90, {40});
        for (HeatedWire& wire : bundle.wires) wire.current_A *= factor;
        const SteadyHeat heat = steady_heat(bundle, {40});
        REQUIRE(heat.settles);
        CHECK(heat.hottest_degC == Approx(90).margin(0.001));
        CHECK(heat.wire_degC[heat.hottest_wire] == heat.hottest_degC);
        CHECK(lost_W_per_m(bundle, heat) == Approx(heat.lost_W_per_m).epsilon(1e-6));
        CHECK(heat.surface_degC > 40);
        for (const double degC : heat.wire_degC) CHECK(degC >= heat.surface_degC);
    }
}

TEST_CASE("through a body of many equal wires the rise is Q/(4 pi k), whatever its size") {
    const auto K_m_W = [](std::size_t count) {
        const SteadyHeat heat = steady_heat(alike(count, 1, 0.5), {20});
        return (heat.hottest_degC - heat.surface_degC) / heat.lost_W_per_m;
    };
    CHECK(K_m_W(200) == Approx(K_m_W(400)).epsilon(0.01));
    // 1/(4 pi k) with k between trapped air alone and three times the plastic.
    CHECK(K_m_W(200) < 1 / (4 * std::numbers::pi * 0.026));
    CHECK(K_m_W(200) > 1 / (4 * std::numbers::pi * 3 * 0.19));
}

TEST_CASE("more current, more wires, thinner air and wrapping heat; moving air cools") {
    CHECK(hottest(alike(1, 2.5, 20)) < hottest(alike(1, 2.5, 21)));
    CHECK(hottest(alike(1, 2.5, 15)) < hottest(alike(2, 2.5, 15)));
    CHECK(hottest(alike(7, 2.5, 8)) < hottest(alike(12, 2.5, 8)));
    CHECK(hottest(alike(1, 2.5, 20)) < hottest(alike(1, 2.5, 20), {30, 5000}));
    CHECK(hottest(alike(1, 2.5, 20)) > hottest(alike(1, 2.5, 20), {30, 0, 2}));
    for (const Wrap wrap : {Wrap::sleeved, Wrap::conduit, Wrap::foamed})
        CHECK(hottest(wrapped(alike(7, 2.5, 8), wrap)) > hottest(alike(7, 2.5, 8)) + 0.5);
    CHECK(hottest(wrapped(alike(7, 2.5, 8), Wrap::foamed)) >
          hottest(wrapped(alike(7, 2.5, 8), Wrap::conduit)) + 1);
}

TEST_CASE("tape on a thin wire may cool it: more surface outweighs the layer") {
    const double bare = hottest(alike(1, 0.5, 10));
    const double taped = hottest(wrapped(alike(1, 0.5, 10), Wrap::taped));
    CHECK(taped < bare);
}

TEST_CASE("each wire's own loss counts, wherever it stands in the list") {
    HeatedBundle bundle = alike(6, 2.5, 0);
    bundle.wires[3].current_A = 25;
    const SteadyHeat heat = steady_heat(bundle, {30});
    CHECK(heat.hottest_wire == 3);
    for (const std::size_t idle : {0u, 1u, 2u, 4u, 5u}) CHECK(heat.wire_degC[idle] < heat.hottest_degC - 1);
    std::swap(bundle.wires[3], bundle.wires[0]);
    CHECK(hottest(bundle) == Approx(heat.hottest_degC));
    // Idle neighbours are cooling surface for the one hot wire; all of them loaded are not.
    CHECK(heat.hottest_degC < hottest(alike(6, 2.5, 25)));
}

TEST_CASE("parallel wires share: two of half the current are cooler than one of all of it") {
    CHECK(hottest(alike(2, 2.5, 15)) < hottest(alike(1, 2.5, 30)));
    CHECK(hottest(alike(2, 2.5, 30)) > hottest(alike(1, 2.5, 30)));
}

TEST_CASE("where the loss outruns what is given away there is no steady state, and that is told") {
    const HeatedBundle bundle = wrapped(alike(12, 1.5, 30), Wrap::foamed);
    const SteadyHeat heat = steady_heat(bundle, {30});
    CHECK_FALSE(heat.settles);
    CHECK(heat.hottest_degC == 400);
    CHECK(heat.wire_degC == std::vector<double>(12, 400));
    // Just below the ceiling it settles, just above it does not.
    const double most = lasting_factor(bundle, 400, {30});
    HeatedBundle nearly = bundle;
    for (HeatedWire& wire : nearly.wires) wire.current_A = 30 * most * 0.999;
    CHECK(hottest(nearly) > 380);
    for (HeatedWire& wire : nearly.wires) wire.current_A = 30 * most * 1.001;
    CHECK_FALSE(steady_heat(nearly, {30}).settles);
    CHECK_FALSE(steady_heat(alike(1, 1, 1), {400}).settles);
}

TEST_CASE("no current: all as hot as the air, and any factor will do") {
    CHECK(steady_heat(alike(3, 1, 0), {35}).wire_degC == std::vector<double>(3, 35));
    CHECK(steady_heat({}, {35}).hottest_degC == 35);
    CHECK(lasting_factor(alike(3, 1, 0), 90, {35}) == std::numeric_limits<double>::infinity());
    CHECK(lasting_factor(alike(3, 1, 1), 90, {90}) == 0);
    CHECK_THROWS_AS(lasting_factor(alike(3, 1, 1), 401, {30}), std::domain_error);
}

TEST_CASE("a large reference current does not matter to the current that lasts") {
    HeatedWire wire = heated_wire(6, 5000, Wall::thin);
    const double lasting = lasting_A(wire, 105, {30});
    wire.current_A = lasting;
    CHECK(hottest({{wire}, {}}) == Approx(105).margin(0.001));
    wire.current_A = 5000;
    CHECK(5000 * lasting_factor({{wire}, {}}, 105, {30}) == Approx(lasting));
}

TEST_CASE("the gap of a tube carries at least still air and radiation, and more when wide") {
    // 2 pi k dT/ln(2) with k 0.0274 W/(m K) at 45 degC, no radiation to speak of.
    const double still = 2 * std::numbers::pi * dry_air(45).conductivity_W_mK * 30 / std::log(2.0);
    CHECK(across_gap_W_per_m(0.002, 0.004, 60, 30, 1e-9) == Approx(still).epsilon(1e-4));
    CHECK(across_gap_W_per_m(0.05, 0.1, 60, 30, 1e-9) > 2 * still);
    // Two black surfaces: the body's area times sigma (T1^4 - T2^4).
    CHECK(across_gap_W_per_m(0.002, 0.004, 60, 30, 1) - still ==
          Approx(std::numbers::pi * 0.002 * radiated_W_m2(1, 60, 30)).epsilon(1e-4));
}

TEST_CASE("insulation grows with the conductor, whatever the wall") {
    for (const Wall wall : {Wall::building, Wall::thick, Wall::thin})
        for (double area_mm2 = 0.05; area_mm2 < 300; area_mm2 *= 1.1)
            CHECK(insulation_mm(area_mm2 * 1.1, wall) >= insulation_mm(area_mm2, wall));
    CHECK(insulation_mm(2.5, Wall::thin) == Approx(0.28));
    CHECK(insulation_mm(10, Wall::thick) == Approx(0.80));
    CHECK(insulation_mm(awg_area_mm2(10), Wall::building) == Approx(0.76));
    CHECK(insulation_mm(awg_area_mm2(8), Wall::building) == Approx(1.14));
}

}  // namespace heat_conductor_test
