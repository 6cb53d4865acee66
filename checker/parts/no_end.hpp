// What has no end, and what counts as no current.
#pragma once
#include <limits>

namespace loomward {

inline constexpr double never_s = std::numeric_limits<double>::infinity();
// Below it nothing is warmed, lit or moved that somebody wires, ampere.
inline constexpr double idle_A = 1e-3;

}  // namespace loomward
