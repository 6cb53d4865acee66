// How warm the cells of a pack get: the heat of their resistance, their own mass as heat capacity, one path
// to the air around the pack. Temperatures of cells, not of their wrapping: a warm core inside is not
// followed. The heat of entropy is left out: over a full discharge it averages out.
//
// What is stated is taken; the rest from data sheets of cells (checker/heat/pack_heat.cpp says which).
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/managements.hpp"
#include "checker/currents/profile.hpp"
#include "checker/heat/how_long.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// One end of what is known of a pack.
struct PackBody {
    ThermalBody body;                     // to its rise over the air, K, from what its cells lose, W
    Corner resistance = Corner::run_hot;  // the corner at which its resistance is taken
    double more_loss = 1;  // times as much as the resistance makes: a measured rise asks for it
    double J_per_K = 0;
};

struct PackHeat {
    std::vector<PackBody> bodies;      // every end of what is known; empty: `needs` says what is missing
    std::vector<std::string> needs;    // "thermal-resistance or rise of pack B1"
    bool stated = false;               // it states a path or a measured rise, known or not
    std::vector<std::string> working;  // how capacity and path come about
    std::string source;
};

// Heat capacity: mass times specific heat; without a `mass`, the cells at 220 to 265 Wh/kg (LFP 150 to 180,
// lead 30 to 45). Specific heat 830 to 1040 J/(kg K), LFP 1130, lead 900 to 1200. The path:
// `thermal-resistance`, else what a measured rise leads to: rise = P R (1 - exp(-t/(R C))), solved for R. A
// rise of more than 95 % of what would be without any path means that the cells lose more than stated: their
// loss is raised to that.
PackHeat pack_heat(const Circuit& circuit, const Facts& facts, PartId pack);

// The largest path to a measured rise, K/W, by bisection; nullopt where the loss is too small for it even
// without a path. All above 0: W, J/K, K, s.
std::optional<double> path_of_rise_K_per_W(double loss_W, double J_per_K, double rise_K, double after_s);

// What the cells lose at an operating point, W: the square of its current times its resistance, section by
// section. 0 where its resistance is not known.
double cell_loss_W(const Circuit& circuit, const Facts& facts, PartId pack, const PackBody& body,
                   const OperatingPoint& point);
// The current through a pack, A: above 0 it gives. Of one with taps the largest of its sections.
double pack_current_A(const Circuit& circuit, PartId pack, const OperatingPoint& point);

// Seconds until a course has emptied a pack from full at its largest capacity, or filled it where its last
// level, or the mean of its cycle, charges; infinite where neither, or where the capacity is not known.
double flat_after_s(const Circuit& circuit, const Facts& facts, PartId pack, const Course& course);

// The temperature of cells at which a course is cut off.
struct CellLimit {
    double cell_degC = 0;
    PartId by;            // that cuts off: battery management, or the pack itself
    std::string name;     // "cuts-out-at", "discharge-at"
    std::string working;  // "60 degC (cuts-out-at of Q1)"
    bool assumed = false;
};
// The lowest of: `cuts-out-at` of the pack and of what manages it, and where `discharge-at` (while it gives)
// or `charge-at` (while it takes) falls below the course's largest current, at or above `ambient_degC`. Where
// nothing is stated and it gives: 60 degC, the top of what makers of lithium cells state. nullopt: nothing
// limits it.
std::optional<CellLimit> cell_limit(const Circuit& circuit, const Facts& facts, Managements& managements,
                                    PartId pack, const Course& course, double ambient_degC);

// The temperature of cells above which a current may no longer flow into them: where `charge-at` of the pack
// or of what manages it falls below it, at or above `ambient_degC`. Where nothing is stated: 45 degC for
// lithium cells, assumed. nullopt: nothing limits it, or it is below at the ambient already
// (limit-at-temperature tells of that). `takes_A` above 0.
std::optional<CellLimit> charge_limit(const Facts& facts, Managements& managements, PartId pack,
                                      double takes_A, double ambient_degC);

}  // namespace loomward
