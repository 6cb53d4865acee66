// Figures of regulations and codes that rules compare with. Lengths in m, voltages in V, currents in A.
#pragma once
#include <optional>
#include <span>
#include <string_view>

#include "checker/tables/sources.hpp"

namespace loomward {

// IEC 60364-4-43 433.1: In <= Iz and I2 <= 1.45 Iz. The smallest Iz a device of rating In with conventional
// fusing current `fusing` x In may guard.
double least_guarded_ampacity_A(double rated_A, double fusing);
// 33 CFR 183.455(c): largest device for a conductor of `table_A` (33 CFR 183.425 Table 5): 150 % below 50 V;
// from 50 V the table current, or the next standard rating if it stays within 150 %.
double boat_largest_device_A(double table_A, double system_V);
// 30 CFR 18.51(a): a branch of less than half the current capacity of the main conductor needs its own
// device.
bool needs_branch_device(double branch_A, double main_A);

// How far from the source a device may sit.
struct SourceDistance {
    std::string_view when;
    double length_m;
    SourceId source;
};
std::span<const SourceDistance> source_distances();

struct VoltageDropLimit {
    std::string_view what;
    double percent;
    SourceId source;
};
std::span<const VoltageDropLimit> voltage_drop_limits();

// Above it a bare live part is a shock hazard: voltage class B of ISO 6469-3 begins above 60 V DC.
inline constexpr double class_a_limit_V = 60;
// UN R100 5.1.3: smallest isolation resistance per volt of working voltage.
double least_isolation_ohm(double working_V, bool joined_with_ac);

// One lithium or lead cell.
struct CellChemistry {
    std::string_view name;
    double empty_V, nominal_V, full_V;
    double lowest_V;  // damage below; 0: no figure
    SourceId source;
};
std::span<const CellChemistry> cell_chemistries();

// ABYC E-11 Table V-A: smallest breaking capacity of a breaker on lead-acid banks of 12 and 24 V, by cranking
// current.
struct BoatBreaking {
    double main_A, branch_A;
};
std::optional<BoatBreaking> boat_breaking(
    double cranking_A);  // nullopt above 2200 A: the bank's own figure counts

}  // namespace loomward
