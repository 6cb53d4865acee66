// What is tightened, whether the text says how tight or not.
#pragma once
#include "parser/harness.hpp"

namespace loomward {

// Bars, studs, shunts, contactors and packs, strip fuses, and whatever takes a torque and has a thick wire on
// it or lies on another part (`direct`). What sits in a holder is not. Common practice, no source.
bool is_bolted(const Harness& harness, PartId part);

// Cross-section from which on a wire lands under a nut, mm2; no source.
inline constexpr double thick_mm2 = 4;

}  // namespace loomward
