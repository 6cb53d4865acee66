// Modes that are entered in need alone: what they show nobody sees before.
#pragma once
#include <vector>

#include "checker/follow/follow.hpp"

namespace loomward {

// By ModeId: the modes that it differs from, in what a hand works, by nothing but a stop that was struck;
// mostly none.
std::vector<std::vector<ModeId>> struck_from(const Circuit& circuit, const Follower& follower);

}  // namespace loomward
