// What every wire carries at its worst against what it may carry there.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/currents/profile.hpp"
#include "checker/parts/facts.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

// What a wire carries against what it may carry, at its worst.
struct WireLoading {
    double current_A =
        0;  // equivalent continuous current of the worst mode (heat-equivalent over its profile)
    double peak_A = 0;
    double limit_A = 0;  // 0: not known
    ModeId mode;
    Corner corner = Corner::run_hot;
    Surroundings surroundings;  // that the limit was worked out for
    Surroundings standing;      // in which it may carry least in any mode, its own current aside
    // Direction of the worst current: +1 as the route walks, -1 against it, 0 none flows in any mode.
    int direction = 0;
};

// Each wire at its worst, with the conductors that are loaded beside it (grouping.hpp).
std::vector<WireLoading> load_wires(const Circuit& circuit, const Facts& facts,
                                    const std::vector<OperatingPoint>& points);

// What a wire may carry for long, all its parallel conductors together: at the hottest ambient of any mode,
// and every other conductor of its bundles and cable loaded as the mode does that loads them most. Its size
// has to be known.
Ampacity standing_ampacity(const Facts& facts, WireId id, const WireLoading& loading);

}  // namespace loomward
