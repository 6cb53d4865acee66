#include "checker/currents/at_settings.hpp"

#include <algorithm>
#include <optional>

#include "checker/parts/elements.hpp"

namespace loomward {
namespace {

// Of the setting: a mode that draws so much tells of the hardest ride. No source.
constexpr double as_much = 0.75;

// What the mode has it draw at the most, A; what is stated in watts counts as nothing, and its setting is
// looked at. nullopt: it draws nothing.
std::optional<double> drawn_A(const Mode& mode, PartId part, double limit_A) {
    const std::int32_t place = mode.states[part.index()].profile;
    if (place < 0) return std::nullopt;
    const Profile& profile = mode.profiles[static_cast<std::size_t>(place)];
    if (profile.flow != Flow::draws) return std::nullopt;
    double most_A = 0;
    for (const Level& level : profile.levels)
        most_A = std::max(most_A, level.limit                                    ? limit_A
                                  : level.amount.dimension == Dimension::current ? level.amount.hi
                                                                                 : 0);
    return most_A;
}

Mode at_limit(const Mode& base, PartId part) {
    Mode mode = base;
    Level level;
    level.limit = true;
    mode.states[part.index()].profile = static_cast<std::int32_t>(mode.profiles.size());
    mode.profiles.push_back(Profile{Flow::draws, {level}, false, {}});
    return mode;
}

}  // namespace

std::vector<AtSetting> draw_at_settings(const Circuit& circuit, const Facts& facts) {
    std::vector<AtSetting> found;
    const Harness& harness = *circuit.harness;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const PartId part(i);
        if (harness.parts[i].kind != Kind::controller) continue;
        const auto limit = supply_limit(facts, part);
        if (!limit || limit->current_A <= 0) continue;
        std::optional<std::size_t> in;
        double most_A = 0;
        for (std::size_t m = 0; m < harness.modes.size(); ++m) {
            const auto amps = drawn_A(harness.modes[m], part, limit->current_A);
            if (!amps || (in && *amps <= most_A)) continue;
            in = m;
            most_A = *amps;
        }
        if (!in || most_A >= as_much * limit->current_A) continue;
        AtSetting each{
            part, limit->current_A,
            solve_state(circuit, facts, Corner::run_hot, at_limit(harness.modes[*in], part), ModeId(*in))};
        if (each.point.usable()) found.push_back(std::move(each));
    }
    return found;
}

}  // namespace loomward
