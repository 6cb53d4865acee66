// When a contact that opens draws an arc.
#pragma once

namespace loomward {

// Below this no arc stands between silver contacts, A; contact theory (memory).
inline constexpr double no_arc_A = 0.4;

}  // namespace loomward
