// Words that the lines about failures share. Used in checker/failures alone.
#pragma once
#include <string>
#include <vector>

#include "checker/follow/follow.hpp"

namespace loomward {

// "F1 W2..W4 W7": numbers in a row as a range, in the order of name and number.
std::string names_in_short(std::vector<std::string> names);
// "S1 cuts", "S1 S2 cut".
std::string names_that(const std::vector<std::string>& names, std::string_view one, std::string_view many);
// "climb, drive".
std::string mode_names(const Harness& harness, const std::vector<ModeId>& modes);
std::string_view drive_word(DriveState state);
// What differs, in a few words; empty: nothing.
std::string effect_text(const Circuit& circuit, const Follower& follower, const FollowedState& before,
                        const FollowedState& after);

}  // namespace loomward
