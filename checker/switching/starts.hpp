// Loads that one hand starts at one moment, and what flows while their inrushes add up.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/surges.hpp"
#include "checker/parts/facts.hpp"
#include "checker/switching/transients.hpp"

namespace loomward {

// From one load's inrush that ends to the next.
struct StartLevel {
    double lasts_s = 0;
    OperatingPoint point;  // currents while it lasts; edge_A empty where not solved
};
struct CommonStart {
    ModeId mode;
    PartId by;  // the switch, or the relay where nothing by hand is before it; invalid: unknown
    std::vector<EdgeId> loads;  // at least two
    std::vector<StartLevel> levels;
    const OperatingPoint* running = nullptr;  // the mode when all of them have started
};

// Of every mode that starts two loads or more with the same switch: the nearest one before each load, or the
// one that pulls in the relay nearest to it. `points` outlives what is handed back.
std::vector<CommonStart> common_starts(const Circuit& circuit, const Facts& facts,
                                       const std::vector<ModeEntry>& entries,
                                       const std::vector<OperatingPoint>& points);

}  // namespace loomward
