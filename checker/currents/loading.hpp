// What every wire carries at its worst against what it may carry there.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/profile.hpp"
#include "checker/parts/facts.hpp"
#include "checker/protection/proof.hpp"
#include "checker/results.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

// Each wire at its worst, with the conductors that are loaded beside it (grouping.hpp).
std::vector<WireLoading> load_wires(const Circuit& circuit, const Facts& facts,
                                    const std::vector<OperatingPoint>& points, const Proof& proof);

// What a wire may carry for long, all its parallel conductors together: at the hottest ambient of any mode,
// and every other conductor of its bundles and cable loaded as the mode does that loads them most. Its size
// has to be known.
Ampacity standing_ampacity(const Facts& facts, WireId id, const WireLoading& loading);

}  // namespace loomward
