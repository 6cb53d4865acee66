#include "checker/heat/how_long.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/parts/no_end.hpp"

namespace loomward {

namespace {

// What one run makes of the rise at its start: `kept` times that, and `gained`.
class Cycle {
  public:
    Cycle(const ThermalBody& body, const LossCourse& course) : body_(body), course_(course) {
        gained_ = end_of(0);
        kept_ = end_of(1) - gained_;
        for (const LossLevel& level : course.levels) lasts_s_ += level.duration_s;
    }
    double lasts_s() const { return lasts_s_; }

    // The rise at the start of the cycle after `count` of them.
    double start_K(double first_K, double count) const {
        if (std::abs(kept_ - 1) < 1e-12) return first_K + count * gained_;
        const double settled_K = gained_ / (1 - kept_);
        return settled_K + std::pow(kept_, count) * (first_K - settled_K);
    }
    // Within one run from there; infinite where the limit is not met.
    double reach_s(double start_K, double limit_K) const {
        double passed_s = 0, rise_K = start_K;
        for (const LossLevel& level : course_.levels) {
            const double hold_s = longest_hold_s(body_, level.loss_W, rise_K, limit_K);
            if (hold_s <= level.duration_s && hold_s != never_s) return passed_s + hold_s;
            if (level.duration_s == never_s) return never_s;
            rise_K = rise_after_K(body_, level.loss_W, rise_K, level.duration_s);
            passed_s += level.duration_s;
        }
        return never_s;
    }

  private:
    double end_of(double start_K) const {
        double rise_K = start_K;
        for (const LossLevel& level : course_.levels)
            rise_K = rise_after_K(body_, level.loss_W, rise_K, level.duration_s);
        return rise_K;
    }

    const ThermalBody& body_;
    const LossCourse& course_;
    double kept_ = 0, gained_ = 0, lasts_s_ = 0;
};

}  // namespace

LossCourse loss_course(const Course& course, const std::function<double(const OperatingPoint&)>& loss_W) {
    LossCourse losses;
    losses.repeats = course.points.size() > 1 && course.points.front().repeats;
    for (const OperatingPoint& point : course.points)
        losses.levels.push_back({loss_W(point), point.duration_s});
    if (!losses.levels.empty() && !losses.repeats) losses.levels.back().duration_s = never_s;
    return losses;
}

DutyPeak course_peak(const ThermalBody& body, const LossCourse& course, double start_K) {
    return course.repeats ? periodic_peak(body, course.levels) : single_peak(body, course.levels, start_K);
}

double first_reach_s(const ThermalBody& body, const LossCourse& course, double start_K, double limit_K) {
    if (course.levels.empty()) return never_s;
    if (start_K >= limit_K) return 0;
    const Cycle cycle(body, course);
    const double first_s = cycle.reach_s(start_K, limit_K);
    if (first_s != never_s || !course.repeats || !(cycle.lasts_s() > 0)) return first_s;
    // From cold a course gets hotter cycle by cycle: the first that meets the limit is between the last known
    // not to and one that does.
    const double most = longest_s / cycle.lasts_s();
    const auto meets = [&](double count) {
        return cycle.reach_s(cycle.start_K(start_K, count), limit_K) != never_s;
    };
    double cool = 0, hot = 1;
    while (!meets(hot)) {
        if (hot >= most) return never_s;
        cool = hot;
        hot = std::min(2 * hot, most);
    }
    while (hot - cool > 1) {
        const double middle = std::floor((hot + cool) / 2);
        if (middle <= cool || middle >= hot) break;
        (meets(middle) ? hot : cool) = middle;
    }
    return hot * cycle.lasts_s() + cycle.reach_s(cycle.start_K(start_K, hot), limit_K);
}

namespace {

// Through the levels for so long; `seconds` no more than they last. The highest on the way.
struct Passed {
    double end_K = 0, highest_K = 0;
};
Passed pass(const ThermalBody& body, const LossCourse& course, double start_K, double seconds) {
    Passed passed{start_K, start_K};
    for (const LossLevel& level : course.levels) {
        const double here_s = std::min(level.duration_s, seconds);
        passed.end_K = rise_after_K(body, level.loss_W, passed.end_K, here_s);
        passed.highest_K = std::max(passed.highest_K, passed.end_K);
        seconds -= here_s;
        if (!(seconds > 0)) break;
    }
    return passed;
}

// The whole runs of a course that repeats within so many seconds, and what is left of them.
struct RunsOfCycle {
    double count = 0, left_s = 0;
};
RunsOfCycle runs_within(const Cycle& cycle, double seconds) {
    const double count = std::floor(seconds / cycle.lasts_s());
    return {count, seconds - count * cycle.lasts_s()};
}

}  // namespace

double rise_after_course_K(const ThermalBody& body, const LossCourse& course, double start_K,
                           double seconds) {
    if (course.levels.empty()) return start_K;
    if (!course.repeats) return pass(body, course, start_K, seconds).end_K;
    const Cycle cycle(body, course);
    if (!(cycle.lasts_s() > 0)) return start_K;
    const RunsOfCycle runs = runs_within(cycle, std::min(seconds, longest_s));
    return pass(body, course, cycle.start_K(start_K, runs.count), runs.left_s).end_K;
}

double highest_within_K(const ThermalBody& body, const LossCourse& course, double seconds) {
    if (course.levels.empty() || !(seconds > 0)) return 0;
    if (!course.repeats) return pass(body, course, 0, seconds).highest_K;
    const Cycle cycle(body, course);
    if (!(cycle.lasts_s() > 0)) return 0;
    // From cold every run is hotter than the one before.
    const RunsOfCycle runs = runs_within(cycle, std::min(seconds, longest_s));
    const double last_K = pass(body, course, cycle.start_K(0, runs.count), runs.left_s).highest_K;
    if (runs.count < 1) return last_K;
    return std::max(last_K, pass(body, course, cycle.start_K(0, runs.count - 1), cycle.lasts_s()).highest_K);
}

LossCourse times(LossCourse course, double factor) {
    for (LossLevel& level : course.levels) level.loss_W *= factor;
    return course;
}

LossCourse at_share(const LossCourse& course, double share) {
    return times(course, share * share);
}

}  // namespace loomward
