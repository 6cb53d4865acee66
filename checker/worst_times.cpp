#include "checker/worst_times.hpp"

#include <algorithm>
#include <limits>

namespace loomward {
namespace {

// What it draws at the most; without end where that is a setting, or is not known.
double amount(const Level& level) {
    return level.limit || !level.amount.is_known() ? std::numeric_limits<double>::infinity()
                                                   : level.amount.hi;
}

// What the other levels draw on the average of their times; those with a time that is not known count as one
// second. A level that stays is the whole of it.
double average_of_others(const Profile& profile, const Level& level) {
    double sum = 0, time_s = 0;
    for (const Level& each : profile.levels) {
        if (&each == &level) continue;
        if (!each.duration_s) return amount(each);
        const double lasts_s = each.time && !each.time->is_known() ? 1 : std::max(*each.duration_s, 1e-3);
        sum += amount(each) * lasts_s;
        time_s += lasts_s;
    }
    return time_s > 0 ? sum / time_s : 0;
}

double worst_time_s(const Profile& profile, const Level& level) {
    const bool known = level.time->is_known();
    const bool longer_is_worse = amount(level) >= average_of_others(profile, level);
    if (longer_is_worse) return known ? level.time->hi : longest_level_s;
    return known ? level.time->lo : 0;
}

bool has_open_time(const Level& level) {
    return level.time.has_value();
}

}  // namespace

std::shared_ptr<const Harness> with_worst_times(const std::shared_ptr<const Harness>& harness) {
    const bool any = std::any_of(harness->modes.begin(), harness->modes.end(), [](const Mode& mode) {
        return std::any_of(mode.profiles.begin(), mode.profiles.end(), [](const Profile& profile) {
            return std::any_of(profile.levels.begin(), profile.levels.end(), has_open_time);
        });
    });
    if (!any) return harness;
    auto made = std::make_shared<Harness>(*harness);
    for (Mode& mode : made->modes)
        for (Profile& profile : mode.profiles) {
            const Profile written = profile;
            for (std::size_t i = 0; i < profile.levels.size(); ++i)
                if (has_open_time(written.levels[i]))
                    profile.levels[i].duration_s = worst_time_s(written, written.levels[i]);
        }
    return made;
}

}  // namespace loomward
