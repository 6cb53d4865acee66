#include "checker/mend/ladders.hpp"

#include <algorithm>
#include <array>

#include "checker/tables/conductors.hpp"

namespace loomward {
namespace {

constexpr double same = 1 + 1e-6;  // figures that were printed and read again

}  // namespace

std::span<const double> wire_sizes_mm2() {
    static constexpr double ladder[] = {0.35, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120};
    return ladder;
}

std::span<const double> wire_gauges_mm2() {
    static const std::array<double, 17> ladder = [] {
        constexpr std::array<int, 17> gauges = {22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3};
        std::array<double, 17> areas{};
        for (std::size_t i = 0; i < gauges.size(); ++i) areas[i] = awg_area_mm2(gauges[i]);
        return areas;
    }();
    return ladder;
}

std::optional<ClampRange> clamp_for(double thinnest_mm2, double thickest_mm2) {
    static constexpr ClampRange ladder[] = {{0.35, 1.5}, {0.5, 2.5}, {1.5, 4}, {2.5, 6}, {4, 10},
                                            {6, 16},     {10, 25},   {16, 35}, {25, 50}, {35, 70}};
    for (const ClampRange& range : ladder)
        if (range.least_mm2 <= thinnest_mm2 * same && thickest_mm2 <= range.most_mm2 * same) return range;
    return std::nullopt;
}

std::span<const double> fuse_ratings_A() {
    static constexpr double ladder[] = {0.5, 1,   2,   3,   4,   5,   6,   7.5, 8,   10, 12, 15,
                                        16,  20,  25,  30,  32,  35,  40,  50,  60,  63, 70, 80,
                                        100, 125, 150, 160, 175, 200, 250, 300, 315, 400};
    return ladder;
}

std::span<const double> contact_ratings_A() {
    static constexpr double ladder[] = {1,  2,  3,  5,   7,   10,  15,  20,  25,  30, 40,
                                        50, 60, 80, 100, 120, 150, 200, 250, 300, 400};
    return ladder;
}

std::span<const double> contact_voltages_V() {
    static constexpr double ladder[] = {12, 24, 32, 48, 60, 72, 80, 100, 125, 160, 250, 400};
    return ladder;
}

std::span<const double> breaking_capacities_A() {
    static constexpr double ladder[] = {1000, 1500, 2000, 2500, 4000, 6000, 10000, 20000};
    return ladder;
}

std::optional<double> step_up(std::span<const double> ladder, double at_least) {
    const auto at = std::lower_bound(ladder.begin(), ladder.end(), at_least / same);
    return at == ladder.end() ? std::nullopt : std::optional(*at);
}

std::optional<double> step_down(std::span<const double> ladder, double at_most) {
    const auto at = std::upper_bound(ladder.begin(), ladder.end(), at_most * same);
    return at == ladder.begin() ? std::nullopt : std::optional(*(at - 1));
}

std::optional<double> step_below(std::span<const double> ladder, double step) {
    return step_down(ladder, step * (1 - 1e-3));
}

}  // namespace loomward
