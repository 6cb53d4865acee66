// Times of levels that a mode leaves open, put in at their worse end.
//
// A level that draws more than the others of its profile do on the average heats more the longer it lasts;
// one that draws less cools less the shorter it is. So the first is taken as long as it may be, the other as
// short. A time that nobody knows may be anything from nothing to a day.
#pragma once
#include <memory>

#include "parser/harness.hpp"

namespace loomward {

inline constexpr double longest_level_s = 24 * 3600.0;  // common practice, no source

// The harness with one time for each level; the one given where none is open.
std::shared_ptr<const Harness> with_worst_times(const std::shared_ptr<const Harness>& harness);

}  // namespace loomward
