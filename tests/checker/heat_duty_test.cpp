// One body in a course of losses: the closed forms against printed examples and against steps.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "checker/heat/duty.hpp"

namespace heat_duty_test {

using namespace loomward;

namespace {

// The fourth-order rule of Runge and Kutta in steps of a 50th of the time constant.
struct Stepped {
    double rise_K = 0;
    double highest_K = -1e9;
    double highest_at_s = 0;
};

void run_through(Stepped& state, const ThermalBody& body, const std::vector<LossLevel>& course) {
    double at_s = 0;
    state.highest_K = -1;
    for (const LossLevel& level : course) {
        const auto speed = [&](double rise_K) {
            const double lost_W = level.loss_W * (1 + body.growth_per_K * rise_K);
            return (lost_W * body.K_per_W - rise_K) / body.time_constant_s;
        };
        const double steps = std::ceil(level.duration_s / body.time_constant_s * 50) + 1;
        const double step_s = level.duration_s / steps;
        for (double i = 0; i < steps; ++i) {
            const double a = speed(state.rise_K);
            const double b = speed(state.rise_K + step_s / 2 * a);
            const double c = speed(state.rise_K + step_s / 2 * b);
            const double d = speed(state.rise_K + step_s * c);
            state.rise_K += step_s / 6 * (a + 2 * b + 2 * c + d);
            at_s += step_s;
            if (state.rise_K <= state.highest_K) continue;
            state.highest_K = state.rise_K;
            state.highest_at_s = at_s;
        }
    }
}

}  // namespace

TEST_CASE("a periodic course is the textbook's") {
    // First-order body, 600 s; on 120 s, off 240 s; steady rise 100 K: peak R (1 - a)/(1 - a b), closed form
    // worked out by hand: 40.18 K, valley 26.93 K.
    const ThermalBody body{2, 600};
    const std::vector<LossLevel> course{{50, 120}, {0, 240}};
    const DutyPeak peak = periodic_peak(body, course);
    CHECK(peak.settles);
    CHECK(peak.rise_K == Approx(40.18).margin(0.01));
    CHECK(peak.lowest_rise_K == Approx(26.93).margin(0.01));
    CHECK(peak.at_s == 120);
    CHECK(peak.level == 0);
    CHECK(peak.start_K == Approx(peak.end_K));
}

TEST_CASE("lumped bodies cool and warm as the textbooks say") {
    // Incropera, example 5.1 (companion): thermocouple, tau 1 s, 25 to 199 degC in 200 degC: 5.16 s.
    CHECK(longest_hold_s({1, 1}, 175, 0, 174) == Approx(5.165).epsilon(0.002));
    // Incropera, example 5.5a (companion): 5 mm sphere 400 to 335 degC in 20 degC, printed 94 s, 93.8 by
    // hand.
    const double tau_s = 3000 * 0.005 * 1000 / (3 * 10);
    CHECK(rise_after_K({1, tau_s}, 0, 380, 93.8) == Approx(315).epsilon(0.001));
    // IEC 60255-149 thermal curve, cold, twice the limit: 0.2877 tau. Six times, k 1.1: 146 s in 5 s.
    CHECK(longest_hold_s({1, 1}, 4, 0, 1) == Approx(0.2877).epsilon(0.001));
    CHECK(longest_hold_s({1, 146.2}, 36, 0, 1.21) == Approx(5).epsilon(0.005));
    CHECK(longest_hold_s({1, 830.9}, 36, 1, 1.21) == Approx(5).epsilon(0.005));
}

TEST_CASE("a motor's winding whose loss grows settles or runs away as worked out by hand") {
    // 0.12 ohm at 25 degC, 1.5 I2 R, 9.5 K/W, 40 degC: at 6 A 126 degC, at 15 A no steady state. Growth from
    // the loss at 40 degC.
    const double at_40 = 0.12 * (1 + 0.00393 * 15);
    const ThermalBody winding{9.5, 100, 0.00393 / (1 + 0.00393 * 15)};
    const std::vector<LossLevel> six_A{{1.5 * 36 * at_40, 10}};
    CHECK(periodic_peak(winding, six_A).rise_K + 40 == Approx(126.0).margin(0.1));
    const std::vector<LossLevel> fifteen_A{{1.5 * 225 * at_40, 10}};
    CHECK_FALSE(periodic_peak(winding, fifteen_A).settles);
    // Lasting current for 155 degC: 6.67 A.
    CHECK(std::sqrt(lasting_loss_W(winding, 115) / (1.5 * at_40)) == Approx(6.672).epsilon(0.001));
}

TEST_CASE("1000 random courses: closed form and fine steps agree within 0.1 K") {
    std::mt19937 random(11);
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    double worst_K = 0;
    for (int i = 0; i < 1000; ++i) {
        const ThermalBody body{between(0.2, 5), between(20, 2000), i % 2 ? 0.00393 : 0};
        std::vector<LossLevel> course(static_cast<std::size_t>(between(1, 7)));
        for (LossLevel& level : course) {
            level.loss_W = between(0, 1) < 0.3 ? 0 : between(0, 120) / body.K_per_W;
            level.duration_s = between(0.02, 1.5) * body.time_constant_s;
        }
        CAPTURE(i);
        const DutyPeak peak = periodic_peak(body, course);
        REQUIRE(peak.settles);
        Stepped stepped;
        double total_s = 0;
        for (const LossLevel& level : course) total_s += level.duration_s;
        for (double s = 0; s < 25 * body.time_constant_s; s += total_s) run_through(stepped, body, course);
        worst_K = std::max({worst_K, std::abs(stepped.highest_K - peak.rise_K),
                            std::abs(stepped.rise_K - peak.end_K), std::abs(peak.end_K - peak.start_K)});
        if (peak.rise_K > peak.lowest_rise_K + 1e-3)
            CHECK(stepped.highest_at_s == Approx(peak.at_s).margin(1e-6 * total_s));
    }
    CHECK(worst_K < 0.1);
}

TEST_CASE("a hold ends at the limit, from cold and from warm, whether or not the loss runs away") {
    std::mt19937 random(5);
    for (int i = 0; i < 1000; ++i) {
        const auto between = [&](double low, double high) {
            return std::uniform_real_distribution<double>(low, high)(random);
        };
        const ThermalBody body{between(0.2, 5), between(20, 2000), i % 3 ? 0.00393 : 0};
        const double loss_W = between(0, 600) / body.K_per_W;
        const double start_K = i % 2 ? 0 : between(0, 40);
        const double limit_K = 60;
        const double hold_s = longest_hold_s(body, loss_W, start_K, limit_K);
        CAPTURE(i);
        CHECK(std::isinf(hold_s) == (loss_W <= lasting_loss_W(body, limit_K)));
        if (!std::isinf(hold_s))
            CHECK(rise_after_K(body, loss_W, start_K, hold_s) == Approx(limit_K).epsilon(1e-9));
    }
    const ThermalBody body{1, 100};
    CHECK(longest_hold_s(body, 10, 60, 60) == 0);
    CHECK(longest_hold_s(body, 90, 0, 60) > longest_hold_s(body, 90, 20, 60));
    CHECK(lasting_loss_W(body, 0) == 0);
}

TEST_CASE("on the very edge of running away the rise climbs straight") {
    const ThermalBody body{2, 100, 0.005};
    const double edge_W = 1 / (2 * 0.005);
    CHECK(rise_after_K(body, edge_W, 10, 50) == Approx(10 + edge_W * 2 / 100 * 50));
    CHECK(longest_hold_s(body, edge_W, 10, 110) == Approx(50));
    CHECK_FALSE(periodic_peak(body, std::vector<LossLevel>{{edge_W, 50}}).settles);
}

TEST_CASE("an empty course and a course without loss stay cold") {
    CHECK(periodic_peak({1, 1}, {}).rise_K == 0);
    CHECK(periodic_peak({1, 1}, std::vector<LossLevel>{{0, 10}}).rise_K == 0);
    CHECK(periodic_peak({1, 1}, std::vector<LossLevel>{{5, 0}}).rise_K == 0);
    CHECK(single_peak({1, 1}, std::vector<LossLevel>{{0, 10}}, 30).rise_K == 30);
}

TEST_CASE("a wire's time constant is heat capacity over what it gives away") {
    // 4 mm2, 13.8 J/(K m); 0.138 W/(m K): 100 s.
    CHECK(wire_time_constant_s(4, false, 0.138) == Approx(100));
    CHECK(wire_time_constant_s(4, true, 0.1) == Approx(100));
}

}  // namespace heat_duty_test
