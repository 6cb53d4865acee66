// The operating points of a harness: every mode, at the corners where it runs, in every interval of its
// profiles.
#pragma once
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"
#include "checker/results.hpp"

namespace loomward {

// A stretch of a mode in which no profile changes its level.
struct Interval {
    double from_s = 0;
    double duration_s = 0;  // infinity: it stays
};

// Rising, without gaps. A mode without profiles is one interval that stays. Profiles that repeat are followed
// for as long as the longest one takes once.
std::vector<Interval> intervals_of(const Mode& mode);
// Whether the profiles of the mode start again after the last interval.
bool repeats(const Mode& mode);
// The level of a profile at a time from its start.
const Level& level_at(const Profile& profile, double time_s);

// One state of the harness, in the first interval of its profiles. `as`: the mode that the point is said to
// stand in, and whose weather counts; may be invalid. Coils do not contradict it.
OperatingPoint solve_state(const Circuit& circuit, const Facts& facts, Corner corner, const Mode& state,
                           ModeId as);

// Solves run_hot and run_full of every mode (or of the one named). Sorted by mode, corner, interval.
std::vector<OperatingPoint> solve_modes(const Circuit& circuit, const Facts& facts,
                                        std::string_view only_mode);

}  // namespace loomward
