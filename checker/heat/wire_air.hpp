// The air around wires that lie together.
#pragma once
#include <span>

#include "checker/heat/air.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// The hottest ambient of any of them in the mode, the least at which air moves across any, and the altitude
// of the harness. At -273 degC where there are none.
Air air_at_wires(const Facts& facts, std::span<const WireId> wires, ModeId mode);

}  // namespace loomward
