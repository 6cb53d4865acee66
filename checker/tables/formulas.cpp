#include "checker/tables/formulas.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomward {

namespace {

double square(double value) {
    return value * value;
}

// Heat at the end of a level, in A2 (see equivalent_current_A).
double after_level(double heat_A2, const HeatLevel& level, double tau_s) {
    if (level.duration_s <= 0) return heat_A2;
    const double reached = -std::expm1(-level.duration_s / tau_s);
    return heat_A2 + (square(level.current_A) - heat_A2) * reached;
}

// Where the settled cycle begins: the mean of the squared currents, each weighed with what is left of it at
// the end of the cycle.
double settled_start(std::span<const HeatLevel> levels, double tau_s) {
    double total_s = 0;
    double plain_sum = 0;
    for (const HeatLevel& level : levels) {
        total_s += level.duration_s;
        plain_sum += square(level.current_A) * level.duration_s;
    }
    if (total_s <= 0) return levels.empty() ? 0 : square(levels.back().current_A);
    const double cycle = -std::expm1(-total_s / tau_s);
    if (!(cycle > 1e-12)) return plain_sum / total_s;  // the cycle is far too short for any ripple
    double heat = 0;
    for (const HeatLevel& level : levels) heat = after_level(heat, level, tau_s);
    return heat / cycle;
}

}  // namespace

double overload_time_s(double current_A, double before_A, double limit_A, double tau_s) {
    if (current_A <= limit_A) return std::numeric_limits<double>::infinity();
    if (before_A >= limit_A) return 0;
    // log1p keeps the digits where the current is far above both.
    const double above = square(current_A) - square(limit_A);
    return tau_s * std::log1p((square(limit_A) - square(before_A)) / above);
}

HottestLevel hottest_level(std::span<const HeatLevel> levels, bool repeating, double tau_s, double before_A) {
    double heat = repeating ? settled_start(levels, tau_s) : square(before_A);
    // The beginning of a settled cycle is its end; rounding must not tell them apart.
    HottestLevel hottest{heat, heat, levels.empty() ? 0 : levels.size() - 1};
    for (std::size_t i = 0; i < levels.size(); ++i) {
        const double reached = after_level(heat, levels[i], tau_s);
        if (reached > hottest.current_A * (1 - 1e-12))
            hottest = {std::max(reached, hottest.current_A), heat, i};
        heat = reached;
    }
    if (!repeating && !levels.empty() && square(levels.back().current_A) > hottest.current_A)
        hottest = {square(levels.back().current_A), heat, levels.size() - 1};
    return {std::sqrt(hottest.current_A), std::sqrt(hottest.before_A), hottest.level};
}

double equivalent_current_A(std::span<const HeatLevel> levels, bool repeating, double tau_s,
                            double before_A) {
    return hottest_level(levels, repeating, tau_s, before_A).current_A;
}

double bleed_resistance_ohm(double capacitance_F, double from_V, double to_V, double time_s) {
    return time_s / (capacitance_F * std::log(from_V / to_V));
}

}  // namespace loomward
