// The closed formulas against stepping through time, and at their edges.
#include "checker/tables/formulas.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "checker/tables/conductors.hpp"
#include "tests/checker/textbook.hpp"

namespace formulas_test {

using namespace loomward;
using namespace loomward::textbook;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

// The same model by the midpoint rule, in small steps, over many cycles.
double stepped_equivalent_A(const std::vector<HeatLevel>& levels, int cycles, double tau_s, double before_A) {
    double heat = before_A * before_A;
    double peak = 0;
    for (int cycle = 0; cycle < cycles; ++cycle) {
        if (cycle + 1 == cycles) peak = heat;
        for (const HeatLevel& level : levels) {
            const int steps = 2000;
            const double step_s = level.duration_s / steps;
            const double target = level.current_A * level.current_A;
            for (int i = 0; i < steps; ++i) {
                const double half = heat + (target - heat) / tau_s * step_s / 2;
                heat += (target - half) / tau_s * step_s;
                if (cycle + 1 == cycles) peak = std::max(peak, heat);
            }
        }
    }
    return std::sqrt(peak);
}

}  // namespace

TEST_CASE("the equivalent current of a profile is what stepping through it arrives at", "[formulas]") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> current_A(0, 200);
    std::uniform_real_distribution<double> duration_s(1, 120);
    std::uniform_real_distribution<double> constant_s(20, 400);
    for (int i = 0; i < 40; ++i) {
        std::vector<HeatLevel> levels(static_cast<std::size_t>(1 + i % 5));
        double total_s = 0;
        for (HeatLevel& level : levels) {
            level = {current_A(random), duration_s(random)};
            total_s += level.duration_s;
        }
        const double tau_s = constant_s(random);
        INFO(i << ": " << levels.size() << " levels, tau " << tau_s);
        const int settled = static_cast<int>(20 * tau_s / total_s) + 2;
        CHECK(equivalent_current_A(levels, true, tau_s) ==
              Approx(stepped_equivalent_A(levels, settled, tau_s, 0)).epsilon(1e-5));
        const double before_A = current_A(random);
        const double once_A = stepped_equivalent_A(levels, 1, tau_s, before_A);
        CHECK(equivalent_current_A(levels, false, tau_s, before_A) ==
              Approx(std::max(once_A, levels.back().current_A)).epsilon(1e-5));
    }
}

TEST_CASE("a profile heats at least like its root mean square and at most like its peak", "[formulas]") {
    const std::vector<HeatLevel> climb{{100, 30}, {20, 90}};
    const double mean_A = std::sqrt((100.0 * 100 * 30 + 20.0 * 20 * 90) / 120);
    double before_A = 101;
    for (const double tau_s : {0.01, 1.0, 10.0, 100.0, 1000.0, 1e5, 1e9}) {
        const double now_A = equivalent_current_A(climb, true, tau_s);
        INFO("tau " << tau_s);
        CHECK(now_A >= mean_A * (1 - 1e-9));
        CHECK(now_A <= 100);
        CHECK(now_A < before_A + 1e-9);  // a heavier conductor feels the peaks less
        before_A = now_A;
    }
    CHECK(equivalent_current_A(climb, true, 0.01) == Approx(100));
    CHECK(equivalent_current_A(climb, true, 1e9) == Approx(mean_A));
    CHECK(equivalent_current_A(climb, true, infinity) == Approx(mean_A));
}

TEST_CASE("profiles at their edges stay numbers", "[formulas]") {
    CHECK(equivalent_current_A({}, true, 10) == 0);
    CHECK(equivalent_current_A({}, false, 10, 5) == 5);
    const std::vector<HeatLevel> steady{{50, infinity}};
    CHECK(equivalent_current_A(steady, false, 10) == 50);
    CHECK(equivalent_current_A(steady, true, 10) == 50);
    const std::vector<HeatLevel> nothing{{50, 0}};
    CHECK(equivalent_current_A(nothing, true, 10) == 50);
    const std::vector<HeatLevel> burst{{400, 20}, {30, infinity}};
    const double theta = 1 - std::exp(-0.2);
    CHECK(equivalent_current_A(burst, false, 100) == Approx(400 * std::sqrt(theta)));
    const std::vector<HeatLevel> hot_start{{10, 5}, {20, infinity}};
    CHECK(equivalent_current_A(hot_start, false, 100, 60) == 60);
}

TEST_CASE("the overload curve begins at the limit, ends in the adiabatic one, and agrees with stepping",
          "[formulas]") {
    CHECK(overload_time_s(60, 0, 60, 100) == infinity);
    CHECK(overload_time_s(59, 0, 60, 100) == infinity);
    CHECK(overload_time_s(61, 60, 60, 100) == 0);
    CHECK(overload_time_s(61, 70, 60, 100) == 0);
    // 10 AWG with 60 A: tau = k2 S2 / Iz2.
    const double k = 112.75;
    const double area_mm2 = awg_area_mm2(10);
    const double tau_s = time_constant_s(area_mm2, k, 60);
    for (const double multiple : {50.0, 200.0, 1000.0})
        CHECK(overload_time_s(60 * multiple, 0, 60, tau_s) ==
              Approx(withstand_s(k, area_mm2, 60 * multiple)).epsilon(1 / (multiple * multiple)));
    // The time at which the heat of an overload reaches the limit, put back into the profile.
    for (const double current_A : {66.0, 81.0, 120.0, 300.0})
        for (const double before_A : {0.0, 30.0, 55.0}) {
            const std::vector<HeatLevel> levels{{current_A, overload_time_s(current_A, before_A, 60, tau_s)},
                                                {0, infinity}};
            CHECK(equivalent_current_A(levels, false, tau_s, before_A) == Approx(60));
        }
}

}  // namespace formulas_test
