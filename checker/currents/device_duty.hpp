// How far the currents of a mode bring a protective device along one edge of its band.
#pragma once
#include <string>
#include <vector>

#include "checker/currents/loading.hpp"
#include "checker/parts/time_current.hpp"

namespace loomward {

enum class DutyEdge : std::uint8_t { fast, slow };
// Where the fast edge is told for hours alone (Band::fast_untold), the fastest of a type is taken to be so
// many times quicker than the slowest (no source).
inline constexpr double edges_apart = 100;
// Seconds to that edge; infinite where it never opens, or where nothing is known of the fast edge.
double edge_time_s(const Band& band, DutyEdge which, double current_A);

// The sum of duration / time over levels without a rest between them: at 1 the device operates.
struct Duty {
    double share = 0;  // the largest sum
    bool operates = false;
    std::vector<std::string> working;       // the levels since the last rest, a line each
    const OperatingPoint* point = nullptr;  // the last level that brought it on; null: none did
};

// Walks a course once, one that repeats until it settles or operates. Between levels above what it holds for
// good the device does not cool. In a level below that it does: along the fast edge with its own time
// constant, which follows from the band (common practice, no source), along the slow edge and where it is
// electronic at once, since it is not sure to remember. Levels that it holds longer than its edge knows count
// nothing. `sign` +1 or -1: only what flows along or against the edge counts; 0: all of it.
Duty follow_duty(const Course& course, EdgeId device, const Band& band, DutyEdge which, int sign = 0);
// What counts of the current there, A: 0 where it flows the other way.
double counted_A(const OperatingPoint& point, EdgeId device, int sign);

}  // namespace loomward
