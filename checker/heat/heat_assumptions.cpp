#include "checker/heat/heat_assumptions.hpp"

#include <array>
#include <cmath>
#include <cstddef>

namespace loomward {

namespace {

// ISO 6722, smallest thickness in mm (memory, low confidence); below 0.5 mm2 no thick wall is known, and the
// one of 0.5 mm2 is taken.
struct WallRow {
    double area_mm2;
    double thin;
    double thick;
};
constexpr std::array<WallRow, 17> automotive{{
    {0.13, 0.20, 0.48},
    {0.35, 0.20, 0.48},
    {0.5, 0.22, 0.48},
    {0.75, 0.24, 0.48},
    {1.5, 0.24, 0.48},
    {2, 0.28, 0.48},
    {2.5, 0.28, 0.56},
    {4, 0.32, 0.64},
    {8, 0.32, 0.64},
    {10, 0.48, 0.80},
    {16, 0.52, 0.80},
    {25, 0.52, 1.04},
    {35, 0.64, 1.04},
    {50, 0.71, 1.20},
    {70, 0.80, 1.20},
    {95, 0.90, 1.28},
    {120, 0.90, 1.28},
}};

double building_mm(double area_mm2) {
    constexpr double rounding = 1.001;               // of sizes that are AWG
    if (area_mm2 <= 5.261 * rounding) return 0.76;   // AWG 10
    if (area_mm2 <= 33.631 * rounding) return 1.14;  // AWG 2
    if (area_mm2 <= 107.22 * rounding) return 1.40;  // AWG 4/0
    return 1.65;
}

}  // namespace

double insulation_mm(double area_mm2, Wall wall) {
    if (wall == Wall::building) return building_mm(area_mm2);
    const auto of = [&](const WallRow& row) { return wall == Wall::thin ? row.thin : row.thick; };
    if (area_mm2 <= automotive.front().area_mm2) return of(automotive.front());
    for (std::size_t i = 1; i < automotive.size(); ++i) {
        const WallRow& below = automotive[i - 1];
        const WallRow& above = automotive[i];
        if (area_mm2 > above.area_mm2) continue;
        const double root = std::sqrt(below.area_mm2);
        const double share = (std::sqrt(area_mm2) - root) / (std::sqrt(above.area_mm2) - root);
        return of(below) + share * (of(above) - of(below));
    }
    return of(automotive.back());
}

}  // namespace loomward
