// The stretches of time in which the profiles of a mode stand still.
#pragma once
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

// A stretch of a mode in which no profile changes its level.
struct Interval {
    double from_s = 0;
    double duration_s = 0;  // infinity: it stays
};

// How a mode is followed in time.
struct Timeline {
    // Rising. A mode without profiles is one interval that stays. Profiles that repeat are followed until all
    // of them start together again, where that is soon; else for as long as the longest one takes once, and
    // behind that come the times at which levels meet that have not met so far, or not for as long.
    std::vector<Interval> intervals;
    double cycle_s = 0;         // the longest profile once
    double followed_s = 0;      // up to here without gaps; less than the cycle: some change too often
    bool every_meeting = true;  // levels that meet at all are seen to meet
};
Timeline timeline_of(const Mode& mode);

std::vector<Interval> intervals_of(const Mode& mode);
// Whether the profiles of the mode start again after the last interval.
bool repeats(const Mode& mode);
// The level of a profile at a time from its start.
const Level& level_at(const Profile& profile, double time_s);
double just_after_its_start(const Interval& interval);
// Every profile of a mode at its level: all that tells one interval from another.
std::vector<const Level*> levels_at(const Mode& mode, const Interval& interval);

}  // namespace loomward
