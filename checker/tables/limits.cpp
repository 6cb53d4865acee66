#include "checker/tables/limits.hpp"

#include <algorithm>
#include <array>

#include "checker/tables/conductors.hpp"

namespace loomward {

namespace {

using enum SourceId;

constexpr double inch_m = 0.0254;

constexpr std::array<SourceDistance, 4> distances{{
    {"any conductor", 7 * inch_m, cfr_distance},
    {"all of it in a sheath or enclosure", 40 * inch_m, cfr_distance},
    {"from a battery", 72 * inch_m, cfr_battery_distance},
    {"from a smaller cross-section on, short-circuit proof and away from what burns", 3, iec_distance},
}};

constexpr std::array<VoltageDropLimit, 4> drops{{
    {"critical circuits: main feeders, blowers, navigation lights, electronics", 3, abyc_drop},
    {"other circuits", 10, abyc_drop},
    {"lighting, from the origin of a building", 3, iec_drop},
    {"other uses, from the origin of a building", 5, iec_drop},
}};

constexpr std::array<CellChemistry, 7> chemistries{{
    {"NMC", 3.0, 3.6, 4.2, 2.5, cell_voltages},
    {"NCA", 3.0, 3.6, 4.2, 2.5, cell_voltages},
    {"LCO", 3.0, 3.6, 4.2, 2.5, cell_voltages},
    {"LMO", 3.0, 3.7, 4.2, 2.5, cell_voltages},
    {"LFP", 2.5, 3.2, 3.65, 2.0, cell_voltages},
    {"LTO", 1.8, 2.4, 2.85, 1.5, cell_voltages},
    {"lead-acid", 1.75, 2.0, 2.4, 0, lead_voltages},
}};

}  // namespace

double least_guarded_ampacity_A(double rated_A, double fusing) {
    return rated_A * std::max(1.0, fusing / 1.45);
}

double boat_largest_device_A(double table_A, double system_V) {
    if (system_V < 50) return 1.5 * table_A;
    const std::vector<double>& ratings = standard_ratings_A();
    const auto next = std::lower_bound(ratings.begin(), ratings.end(), table_A);
    return next != ratings.end() && *next <= 1.5 * table_A ? *next : table_A;
}

bool needs_branch_device(double branch_A, double main_A) {
    return branch_A < 0.5 * main_A;
}

std::span<const SourceDistance> source_distances() {
    return distances;
}
std::span<const VoltageDropLimit> voltage_drop_limits() {
    return drops;
}
std::span<const CellChemistry> cell_chemistries() {
    return chemistries;
}

double least_isolation_ohm(double working_V, bool joined_with_ac) {
    return (joined_with_ac ? 500 : 100) * working_V;
}

std::optional<BoatBreaking> boat_breaking(double cranking_A) {
    if (cranking_A <= 650) return BoatBreaking{1500, 750};
    if (cranking_A <= 1100) return BoatBreaking{3000, 1500};
    if (cranking_A <= 2200) return BoatBreaking{5000, 2500};
    return std::nullopt;
}

}  // namespace loomward
