// How long a body stands a course of losses: when it is first as warm as its limit. The bodies and
// the closed forms are those of duty.hpp.
#pragma once
#include <functional>
#include <vector>

#include "checker/currents/profile.hpp"
#include "checker/heat/duty.hpp"

namespace loomward {

// Beyond it nothing is told from never.
inline constexpr double longest_s = 1e9;

// A course of losses as a mode asks for it. Of one that does not repeat the last level stays, whatever its
// duration says; use infinity.
struct LossCourse {
    std::vector<LossLevel> levels;
    bool repeats = false;
};
// The losses of a mode, level by level: `loss_W` at a rise of 0 at each of its operating points.
LossCourse loss_course(const Course& course, const std::function<double(const OperatingPoint&)>& loss_W);
// A course with each of its losses so many times as large.
LossCourse times(LossCourse course, double factor);

// The peak of a course for good: of one that repeats the settled cycle, else one run from `start_K`.
DutyPeak course_peak(const ThermalBody& body, const LossCourse& course, double start_K = 0);

// Seconds from the start of the course, at a rise of `start_K`, until the rise is first `limit_K`: infinite
// where it never is, however often the course repeats; 0 where it is from the start. Found directly: the rise
// at the start of cycle n is an affine map n times over. Beyond 1e9 s it is infinite.
double first_reach_s(const ThermalBody& body, const LossCourse& course, double start_K, double limit_K);

// The rise after so many seconds of a course, from `start_K`; infinite seconds: where it settles, of one that
// repeats at the end of its settled cycle.
double rise_after_course_K(const ThermalBody& body, const LossCourse& course, double start_K, double seconds);
// The highest rise within so many seconds from cold; infinite seconds: for good.
double highest_within_K(const ThermalBody& body, const LossCourse& course, double seconds);

// The same course with all currents at a share of themselves: losses at its square. `share` 0 or above.
LossCourse at_share(const LossCourse& course, double share);

}  // namespace loomward
