// When a course of losses first meets a limit, against a walk in fine steps.
#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <random>

#include "checker/heat/how_long.hpp"

namespace how_long_test {

using namespace loomward;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();

// Walks in 400 steps a level, cycle by cycle.
double walked_s(const ThermalBody& body, const LossCourse& course, double start_K, double limit_K,
                int cycles) {
    double at_s = 0, rise_K = start_K;
    for (int cycle = 0; cycle < cycles; ++cycle)
        for (const LossLevel& level : course.levels) {
            constexpr int steps = 400;
            for (int i = 0; i < steps; ++i) {
                rise_K = rise_after_K(body, level.loss_W, rise_K, level.duration_s / steps);
                at_s += level.duration_s / steps;
                if (rise_K >= limit_K) return at_s;
            }
        }
    return never;
}

}  // namespace

TEST_CASE("1000 random courses meet their limit when a walk in fine steps does") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> unit(0, 1);
    int met = 0, in_a_later_cycle = 0;
    for (int i = 0; i < 1000; ++i) {
        const ThermalBody body{0.5 + unit(random), 100 + 900 * unit(random), i % 2 ? 0.00393 : 0};
        LossCourse course;
        course.repeats = true;
        double lasts_s = 0, longest_s = 0;
        for (int level = 0; level < 2 + i % 4; ++level) {
            course.levels.push_back({100 * unit(random), 20 + 400 * unit(random)});
            lasts_s += course.levels.back().duration_s;
            longest_s = std::max(longest_s, course.levels.back().duration_s);
        }
        const double limit_K = 10 + 60 * unit(random);
        const double stepped_s = walked_s(body, course, 0, limit_K, 60);
        const double direct_s = first_reach_s(body, course, 0, limit_K);
        INFO(i << ": " << stepped_s << " " << direct_s);
        if (stepped_s == never) {
            CHECK(direct_s > 59 * lasts_s);
            continue;
        }
        ++met;
        if (stepped_s > lasts_s) ++in_a_later_cycle;
        CHECK(direct_s <= stepped_s + 1e-6);
        CHECK(direct_s >= stepped_s - longest_s / 400 - 1e-6);
    }
    CHECK(met > 300);
    CHECK(in_a_later_cycle > 50);
}

TEST_CASE("a level that stays settles, and meets what lies below that and nothing else") {
    const ThermalBody body{2, 600};
    const LossCourse course{{{10, 100}, {50, never}}, false};
    CHECK(first_reach_s(body, course, 0, 100.001) == never);
    CHECK(first_reach_s(body, course, 0, 99) < never);
    CHECK(first_reach_s(body, course, 5, 5) == 0);
    CHECK(course_peak(body, course).rise_K == Approx(100));
}

}  // namespace how_long_test
