#include "checker/currents/intervals.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <optional>

namespace loomward {

namespace {

constexpr double forever = std::numeric_limits<double>::infinity();
constexpr std::size_t most_cuts = 16384;     // of one cycle of the longest profile
constexpr std::size_t most_together = 1024;  // to where all start together again
constexpr std::size_t most_walked = 100000;  // further than that nothing is looked for
constexpr std::size_t most_combinations = 256;

double total_s(const Profile& profile) {
    double sum = 0;
    for (const Level& level : profile.levels) sum += level.duration_s.value_or(0);
    return sum;
}

bool cycles(const Profile& profile) {
    return profile.repeating && profile.levels.size() > 1 && total_s(profile) > 0;
}

// Until all that repeats starts together again, s; nullopt: not for long, or nobody can say.
std::optional<double> together_s(const Mode& mode) {
    constexpr double ticks_per_s = 1000, longest_ticks = 1e15;
    std::int64_t ticks = 1;
    for (const Profile& profile : mode.profiles) {
        if (!cycles(profile)) continue;
        const double here = total_s(profile) * ticks_per_s;
        if (here < 1 || here > longest_ticks || std::abs(here - std::round(here)) > 1e-6 * here)
            return std::nullopt;
        const auto period = static_cast<std::int64_t>(std::llround(here));
        const std::int64_t more = period / std::gcd(ticks, period);
        if (static_cast<double>(ticks) * static_cast<double>(more) > longest_ticks) return std::nullopt;
        ticks *= more;
    }
    return static_cast<double>(ticks) / ticks_per_s;
}

double cuts_until(const Mode& mode, double end_s) {
    double cuts = 0;
    for (const Profile& profile : mode.profiles) {
        const double rounds = cycles(profile) ? std::ceil(end_s / total_s(profile)) : 1;
        cuts += rounds * static_cast<double>(profile.levels.size());
    }
    return cuts;
}

// Where a profile changes, from `from_s` on; rising.
class Changes {
  public:
    explicit Changes(const Profile& profile) : repeating_(cycles(profile)), period_s_(total_s(profile)) {
        double at_s = 0;
        for (const Level& level : profile.levels) {
            if (!level.duration_s) break;
            ends_s_.push_back(at_s += *level.duration_s);
        }
    }
    double after(double time_s) const {
        if (ends_s_.empty()) return forever;
        double round = repeating_ ? std::floor(time_s / period_s_) : 0;
        for (int tries = 0; tries < 2; ++tries, ++round) {
            for (const double end_s : ends_s_)
                if (round * period_s_ + end_s > time_s + 1e-9) return round * period_s_ + end_s;
            if (!repeating_) return forever;
        }
        return (round + 1) * period_s_;
    }

  private:
    bool repeating_;
    double period_s_;
    std::vector<double> ends_s_;
};

using Levels = std::vector<const Level*>;

// How many different sets of levels there can be; more than the most counts as one more.
std::size_t combinations(const Mode& mode) {
    std::size_t count = 1;
    for (const Profile& profile : mode.profiles)
        if (cycles(profile)) count = std::min(count * profile.levels.size(), most_combinations + 1);
    return count;
}

// Walks on from where the timeline ends and adds of every set of levels the longest stretch, where it has
// not been seen so long.
void add_meetings(const Mode& mode, std::optional<double> all_s, Timeline& timeline) {
    std::map<Levels, double> seen_s;
    for (const Interval& interval : timeline.intervals) {
        double& longest_s = seen_s[levels_at(mode, interval)];
        longest_s = std::max(longest_s, interval.duration_s);
    }
    std::vector<Changes> changes;
    for (const Profile& profile : mode.profiles) changes.emplace_back(profile);
    std::map<Levels, Interval> longest;
    double time_s = timeline.followed_s;
    std::size_t walked = 0;
    for (; walked < most_walked && (!all_s || time_s < *all_s - 1e-9); ++walked) {
        double next_s = forever;
        for (const Changes& each : changes) next_s = std::min(next_s, each.after(time_s));
        if (next_s == forever) break;
        const Interval here{time_s, next_s - time_s};
        time_s = next_s;
        if (here.duration_s < 1e-6) continue;
        Levels levels = levels_at(mode, here);
        double& known_s = seen_s[levels];
        if (here.duration_s <= known_s * (1 + 1e-9)) continue;
        known_s = here.duration_s;
        longest[std::move(levels)] = here;
    }
    timeline.every_meeting = (all_s && time_s >= *all_s - 1e-9) || seen_s.size() >= combinations(mode);
    std::vector<Interval> added;
    for (const auto& [levels, interval] : longest) added.push_back(interval);
    std::sort(added.begin(), added.end(),
              [](const Interval& a, const Interval& b) { return a.from_s < b.from_s; });
    if (added.size() > most_combinations) {
        added.resize(most_combinations);
        timeline.every_meeting = false;
    }
    timeline.intervals.insert(timeline.intervals.end(), added.begin(), added.end());
}

}  // namespace

const Level& level_at(const Profile& profile, double time_s) {
    if (profile.repeating) {
        const double period = total_s(profile);
        if (period > 0) time_s = std::fmod(time_s, period);
    }
    for (const Level& level : profile.levels) {
        if (!level.duration_s || time_s < *level.duration_s) return level;
        time_s -= *level.duration_s;
    }
    return profile.levels.back();
}

double just_after_its_start(const Interval& interval) {
    // Far out a time is no longer exact to that.
    return interval.from_s + std::max(1e-9, 1e-13 * interval.from_s);
}

std::vector<const Level*> levels_at(const Mode& mode, const Interval& interval) {
    std::vector<const Level*> levels;
    for (const Profile& profile : mode.profiles)
        levels.push_back(&level_at(profile, just_after_its_start(interval)));
    return levels;
}

bool repeats(const Mode& mode) {
    return std::any_of(mode.profiles.begin(), mode.profiles.end(),
                       [](const Profile& profile) { return profile.repeating && profile.levels.size() > 1; });
}

Timeline timeline_of(const Mode& mode) {
    Timeline timeline;
    for (const Profile& profile : mode.profiles)
        timeline.cycle_s = std::max(timeline.cycle_s, total_s(profile));
    const std::optional<double> all_s = together_s(mode);
    double end_s = timeline.cycle_s;
    // Only from the longest on: what does not repeat has ended by then.
    const double rounds_s = all_s && *all_s > 0 ? *all_s * std::ceil(end_s / *all_s - 1e-9) : forever;
    if (rounds_s > end_s && cuts_until(mode, rounds_s) <= most_together) end_s = rounds_s;
    std::vector<double> cuts{0};
    double whole_s = end_s;
    for (const Profile& profile : mode.profiles) {
        const double period = total_s(profile);
        double start = 0;
        std::size_t made = 0;
        do {
            double at = start;
            for (const Level& level : profile.levels) {
                if (!level.duration_s) break;
                at += *level.duration_s;
                cuts.push_back(at);
                ++made;
            }
            start += period;
        } while (cycles(profile) && start < end_s - 1e-9 && made < most_cuts);
        if (cycles(profile)) whole_s = std::min(whole_s, start);
    }
    // What is not over by then goes on behind it.
    if (repeats(mode)) {
        std::erase_if(cuts, [&](double at) { return at > end_s - 1e-9; });
        cuts.push_back(end_s);
    }
    std::sort(cuts.begin(), cuts.end());
    cuts.erase(std::unique(cuts.begin(), cuts.end(), [](double a, double b) { return b - a < 1e-9; }),
               cuts.end());
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i)
        timeline.intervals.push_back({cuts[i], cuts[i + 1] - cuts[i]});
    if (!repeats(mode)) timeline.intervals.push_back({cuts.back(), forever});
    timeline.followed_s = whole_s;
    if (repeats(mode) && (!all_s || end_s < *all_s - 1e-9 || whole_s < end_s * (1 - 1e-9)))
        add_meetings(mode, all_s, timeline);
    return timeline;
}

std::vector<Interval> intervals_of(const Mode& mode) {
    return timeline_of(mode).intervals;
}

}  // namespace loomward
