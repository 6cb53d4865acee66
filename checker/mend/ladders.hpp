// The figures that parts are sold with: a cure asks for at least so much, a shop has the next one.
#pragma once
#include <optional>
#include <span>

namespace loomward {

// Rising. Wires: IEC 60228, mm2, and the gauges of ASTM B258 that are sold, as mm2. Fuses: the ratings of
// blade, bolted and cylindrical fuses together, A. What contacts carry, make and break, A; direct voltages of
// contacts and insulation, V; breaking capacities of fuses, A. All but the wires and gauges: common practice,
// no source.
std::span<const double> wire_sizes_mm2();
std::span<const double> wire_gauges_mm2();
std::span<const double> fuse_ratings_A();
std::span<const double> contact_ratings_A();
std::span<const double> contact_voltages_V();
std::span<const double> breaking_capacities_A();

// From the thinnest to the thickest wire that a clamp takes, mm2; common practice, no source.
struct ClampRange {
    double least_mm2 = 0, most_mm2 = 0;
};
// The narrowest that is sold for all wires between the two; nullopt: none.
std::optional<ClampRange> clamp_for(double thinnest_mm2, double thickest_mm2);

// The first step at or above a figure, the last at or below it, the one below a step; nullopt: beyond the
// ladder.
std::optional<double> step_up(std::span<const double> ladder, double at_least);
std::optional<double> step_down(std::span<const double> ladder, double at_most);
std::optional<double> step_below(std::span<const double> ladder, double step);

}  // namespace loomward
