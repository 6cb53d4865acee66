// What moves, opens or closes with nobody asking.
#include <set>

#include "checker/failures/failure_judge.hpp"
#include "checker/failures/failure_words.hpp"
#include "checker/parts/tasks.hpp"

namespace loomward {

std::string FailureJudge::stopped_by(const std::vector<DriveStops>& stops) const {
    const Names names = in_all(stops, StopEffect::cuts), asks = in_all(stops, StopEffect::asks);
    if (!names.empty()) return names_that(names, "stops it", "stop it");
    if (!asks.empty()) return names_that(asks, "only asks it to stop", "only ask it to stop");
    return "nothing that a hand works stops it";
}

bool FailureJudge::judge_starts(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> names;
    bool motor = false;
    for (std::size_t place = 0; place < modes_.size(); ++place)
        for (std::size_t i = 0; i < follower_.drives().size(); ++i)
            if (before(place).drives[i] != DriveState::runs &&
                outcome.states[place].drives[i] == DriveState::runs &&
                !before_it_was_struck(place, tried.failure.change, [i](const FollowedState& was) {
                    return was.drives[i] == DriveState::runs;
                })) {
                names.insert(name(follower_.drives()[i].part));
                tried.in_modes.push_back(modes_[place]);
                motor = motor || !follower_.drives()[i].controller;
            }
    const bool runs_away = !tried.failure.change.running.empty();
    if (runs_away)
        for (const PartId part : tried.failure.change.running) names.insert(name(part));
    if (names.empty() || (runs_away && as_drawn_.empty())) return false;
    tried.heading = FailureHeading::by_itself;
    const std::vector<DriveStops>& stops = outcome.stops.empty() ? as_drawn_ : outcome.stops;
    std::vector<DriveStops> own;
    for (const DriveStops& each : stops)
        if (names.contains(name(follower_.drives()[each.drive].part))) own.push_back(each);
    const bool cut = std::any_of(own.begin(), own.end(),
                                 [](const DriveStops& each) { return each.any(StopEffect::cuts); });
    const bool asked = std::any_of(own.begin(), own.end(),
                                   [](const DriveStops& each) { return each.any(StopEffect::asks); });
    tried.level = motor || (!cut && !asked) ? Severity::error : Severity::warning;
    tried.then = names_in_short({names.begin(), names.end()}) +
                 (motor ? " runs with nobody asking" : " may run at full with nobody asking");
    tried.can_do = stopped_by(own);
    return true;
}

// A contactor that closes in a mode that has it open, onto a drive that is not charged.
bool FailureJudge::judge_closing(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> contactors, drives;
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        const FollowedState &was = before(place), &now = outcome.states[place];
        for (std::size_t i = 0; i < was.pulled.size(); ++i) {
            if (was.pulled[i] || !now.pulled[i] ||
                before_it_was_struck(place, tried.failure.change,
                                     [i](const FollowedState& other) { return other.pulled[i] != 0; }))
                continue;
            for (std::size_t d = 0; d < was.drives.size(); ++d)
                if (follower_.drives()[d].controller && was.drives[d] < DriveState::live &&
                    now.drives[d] >= DriveState::live) {
                    contactors.insert(name(follower_.coils()[i]));
                    drives.insert(name(follower_.drives()[d].part));
                    tried.in_modes.push_back(modes_[place]);
                }
        }
    }
    if (contactors.empty()) return false;
    tried.heading = FailureHeading::by_itself;
    tried.level = Severity::warning;
    tried.then = names_in_short({contactors.begin(), contactors.end()}) +
                 " closes with nobody asking, onto " + names_in_short({drives.begin(), drives.end()}) +
                 " uncharged: it may weld in time";
    tried.can_do = stopped_by(outcome.stops.empty() ? as_drawn_ : outcome.stops);
    return true;
}

// A brake that holds in a mode in which nothing runs, and does not hold there now.
bool FailureJudge::judge_let_go(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> brakes;
    std::optional<std::set<std::string>> ends;  // those that end it wherever it is
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        if (is_under_way(place)) continue;
        for (std::size_t b = 0; b < follower_.loads().size(); ++b) {
            const PartId brake = circuit_.edge(follower_.loads()[b]).part;
            if (before(place).loads[b] != FedState::off || outcome.states[place].loads[b] == FedState::off ||
                !holds_unfed(*circuit_.harness, circuit_.harness->part(brake)) ||
                before_it_was_struck(place, tried.failure.change,
                                     [b](const FollowedState& was) { return was.loads[b] != FedState::off; }))
                continue;
            std::set<std::string> here;
            for (const HandStop& hand : hands(modes_[place]))
                if (follower_.follow(modes_[place], hand.change, tried.failure.change).loads[b] ==
                    FedState::off)
                    here.insert(name(hand.part));
            if (!ends)
                ends = here;
            else
                std::erase_if(*ends, [&](const std::string& each) { return !here.contains(each); });
            brakes.insert(name(brake));
            if (tried.in_modes.empty() || tried.in_modes.back() != modes_[place])
                tried.in_modes.push_back(modes_[place]);
        }
    }
    if (brakes.empty()) return false;
    const Names left(ends->begin(), ends->end());
    tried.heading = left.empty() ? FailureHeading::unstoppable : FailureHeading::by_itself;
    tried.level = Severity::error;
    tried.then = names_that({brakes.begin(), brakes.end()}, "opens", "open") +
                 " with nobody asking: nothing drives, and nothing holds, in mode " +
                 mode_names(*circuit_.harness, tried.in_modes);
    tried.can_do = left.empty() ? "no one hand ends it" : "only " + names_that(left, "ends it", "end it");
    return true;
}

// The graver of what becomes of them under way and at rest.
bool FailureJudge::judge_brakes(TriedFailure& tried, const FailureOutcome& outcome) const {
    TriedFailure under_way = tried;
    const bool stays_open = judge_holding(under_way);
    if (!(stays_open && under_way.heading == FailureHeading::unstoppable) && judge_let_go(tried, outcome))
        return true;
    if (stays_open) tried = std::move(under_way);
    return stays_open;
}

}  // namespace loomward
