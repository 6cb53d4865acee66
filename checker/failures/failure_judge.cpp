#include "checker/failures/failure_judge.hpp"

#include <algorithm>
#include <set>

#include "checker/failures/failure_words.hpp"
#include "checker/failures/struck_modes.hpp"

namespace loomward {

namespace {

bool stops_it(StopEffect effect) {
    return effect == StopEffect::cuts || effect == StopEffect::asks;
}

}  // namespace

bool DriveStops::any(StopEffect effect) const {
    return std::find(effects.begin(), effects.end(), effect) != effects.end();
}

std::string FailureOutcome::key() const {
    std::string text;
    const auto put = [&](auto value) { text += static_cast<char>('0' + static_cast<int>(value)); };
    for (const FollowedState& state : states) {
        for (const DriveState each : state.drives) put(each);
        for (const FedState each : state.loads) put(each);
        for (const FedState each : state.feeds) put(each);
        for (const std::uint8_t each : state.pulled) put(each);
        put(state.settles);
        for (const PartId each : state.shorted) text += "s" + std::to_string(each.index());
    }
    for (const DriveStops& each : stops) {
        text += '|';
        for (const StopEffect effect : each.effects) put(effect);
    }
    return text;
}

std::vector<PartId> follow_differs(const Circuit& circuit, const Follower& follower, ModeId mode) {
    std::vector<PartId> found;
    const Mode& said = circuit.harness->modes[mode.index()];
    for (std::size_t i = 0; i < follower.coils().size(); ++i) {
        const PartId part = follower.coils()[i];
        const Posture posture = said.states[part.index()].posture;
        const bool pulled = posture == Posture::closed || posture == Posture::energised;
        if (pulled != (follower.as_drawn(mode).pulled[i] != 0)) found.push_back(part);
    }
    return found;
}

FailureJudge::FailureJudge(const Circuit& circuit, const Facts& facts, const Follower& follower,
                           std::string_view only_mode)
    : circuit_(circuit),
      facts_(facts),
      follower_(follower),
      judge_(circuit, facts, follower),
      struck_from_(struck_from(circuit, follower)) {
    const std::vector<Mode>& all = circuit.harness->modes;
    for (std::size_t m = 0; m < all.size(); ++m) {
        hands_.push_back(hand_stops(circuit, all[m]));
        if (!follower.as_drawn(ModeId(m)).settles || !follow_differs(circuit, follower, ModeId(m)).empty()) {
            contradictory_.emplace_back(m);
            continue;
        }
        if (only_mode.empty() || all[m].name == only_mode) modes_.emplace_back(m);
    }
    for (const ModeId mode : modes_)
        for (std::size_t drive = 0; drive < follower.drives().size(); ++drive) {
            if (follower.as_drawn(mode).drives[drive] != DriveState::runs) continue;
            bool known = false;
            for (std::size_t i = 0; i < as_drawn_.size(); ++i)
                if (as_drawn_[i].drive == drive && follower.same_contacts(as_drawn_[i].mode, mode)) {
                    alike_[i].push_back(mode);
                    known = true;
                }
            if (known) continue;
            DriveStops stops{mode, drive, true, {}};
            for (const HandStop& hand : hands(mode))
                stops.effects.push_back(judge_.effect(mode, drive, hand, {}));
            as_drawn_.push_back(std::move(stops));
            alike_.push_back({mode});
        }
}

bool FailureJudge::is_under_way(std::size_t place) const {
    const std::vector<DriveState>& drives = before(place).drives;
    return std::find(drives.begin(), drives.end(), DriveState::runs) != drives.end();
}

std::vector<std::string> FailureJudge::as_drawn_text() const {
    std::vector<std::string> lines;
    for (std::size_t drive = 0; drive < follower_.drives().size(); ++drive) {
        std::vector<DriveStops> own;
        for (const DriveStops& each : as_drawn_)
            if (each.drive == drive) own.push_back(each);
        if (own.empty()) continue;
        std::string text = name(follower_.drives()[drive].part) + ": ";
        const Names cut = in_all(own, StopEffect::cuts), ask = in_all(own, StopEffect::asks),
                    pull = names_with(own, StopEffect::pulls);
        text += cut.empty() ? "nothing that a hand works takes the power off in every mode"
                            : names_that(cut, "takes the power off", "take the power off");
        if (!ask.empty()) text += "; " + names_that(ask, "only asks", "only ask");
        for (const DriveStops& each : own) {
            Names more = names_with({each}, StopEffect::cuts);
            std::erase_if(more, [&](const std::string& one) {
                return std::find(cut.begin(), cut.end(), one) != cut.end();
            });
            if (!more.empty())
                text += "; in " + std::string(circuit_.harness->modes[each.mode.index()].name) + " " +
                        names_in_short(more) + " too";
        }
        if (!pull.empty())
            text += "; " + names_in_short(pull) + " by pulling under load (no rating for that)";
        lines.push_back(text);
    }
    return lines;
}

std::vector<std::string> FailureJudge::not_stopped_by(PartId stop, std::vector<ModeId>& modes) const {
    std::set<std::string> drives;
    for (const DriveStops& each : as_drawn_)
        for (std::size_t h = 0; h < each.effects.size(); ++h)
            if (hands(each.mode)[h].part == stop && each.runs && !stops_it(each.effects[h])) {
                drives.insert(name(follower_.drives()[each.drive].part));
                if (modes.empty() || modes.back() != each.mode) modes.push_back(each.mode);
            }
    return {drives.begin(), drives.end()};
}

std::vector<FailureJudge::Unstopped> FailureJudge::unstopped() const {
    std::vector<Unstopped> found;
    for (std::size_t drive = 0; drive < follower_.drives().size(); ++drive) {
        Unstopped one{follower_.drives()[drive].part, {}, {}};
        std::vector<DriveStops> left;
        for (std::size_t i = 0; i < as_drawn_.size(); ++i) {
            const DriveStops& each = as_drawn_[i];
            if (each.drive != drive || each.any(StopEffect::cuts) || each.any(StopEffect::asks)) continue;
            one.modes.insert(one.modes.end(), alike_[i].begin(), alike_[i].end());
            left.push_back(each);
        }
        if (left.empty()) continue;
        one.pulls = in_all(left, StopEffect::pulls);
        found.push_back(std::move(one));
    }
    return found;
}

FailureJudge::Names FailureJudge::names_with(const std::vector<DriveStops>& stops, StopEffect effect) const {
    std::set<std::string> names;
    for (const DriveStops& each : stops)
        for (std::size_t h = 0; h < each.effects.size(); ++h)
            if (each.effects[h] == effect) names.insert(name(hands(each.mode)[h].part));
    return {names.begin(), names.end()};
}

FailureJudge::Names FailureJudge::in_all(const std::vector<DriveStops>& stops, StopEffect effect) const {
    Names names = names_with(stops, effect);
    for (const DriveStops& each : stops) {
        if (!each.runs) continue;
        const Names here = names_with({each}, effect);
        std::erase_if(names, [&](const std::string& one) {
            return std::find(here.begin(), here.end(), one) == here.end();
        });
    }
    return names;
}

// Hands that did that as drawn in some mode and now do `now` there, or anything less.
FailureJudge::Names FailureJudge::names_lost(const FailureOutcome& outcome, StopEffect was,
                                             std::optional<StopEffect> now) const {
    std::set<std::string> names;
    for (std::size_t i = 0; i < outcome.stops.size(); ++i) {
        if (!outcome.stops[i].runs) continue;
        for (std::size_t h = 0; h < as_drawn_[i].effects.size(); ++h) {
            const StopEffect then = outcome.stops[i].effects[h];
            if (as_drawn_[i].effects[h] == was && (now ? then == *now : then < was))
                names.insert(name(hands(as_drawn_[i].mode)[h].part));
        }
    }
    return {names.begin(), names.end()};
}

// Hands that did nothing as drawn are asked where those that did leave nothing.
DriveStops FailureJudge::stops_of(const DriveStops& as_drawn, const CircuitChange& failure) const {
    DriveStops now{as_drawn.mode, as_drawn.drive, judge_.can_run(as_drawn.mode, as_drawn.drive, failure), {}};
    now.effects.assign(as_drawn.effects.size(), StopEffect::none);
    if (!now.runs) return now;
    const std::vector<HandStop>& with = hands(as_drawn.mode);
    bool any = false;
    for (const bool others : {false, true}) {
        for (std::size_t h = 0; h < with.size() && !(others && any); ++h) {
            if ((as_drawn.effects[h] == StopEffect::none) != others) continue;
            now.effects[h] = judge_.effect(as_drawn.mode, as_drawn.drive, with[h], failure);
            any = any || stops_it(now.effects[h]);
        }
        if (any) break;
    }
    return now;
}

FailureOutcome FailureJudge::try_out(const CircuitChange& change, bool adds) const {
    FailureOutcome outcome;
    if (adds) outcome = stops_with(change);
    for (const ModeId mode : modes_) outcome.states.push_back(follow_through(mode, change));
    return outcome;
}

FailureOutcome FailureJudge::stops_with(const CircuitChange& change) const {
    FailureOutcome outcome;
    for (const DriveStops& each : as_drawn_) outcome.stops.push_back(stops_of(each, change));
    return outcome;
}

std::vector<EdgeId> FailureJudge::parted_by_stops() const {
    std::set<EdgeId> found;
    for (const DriveStops& drawn : as_drawn_)
        for (std::size_t h = 0; h < drawn.effects.size(); ++h) {
            if (!stops_it(drawn.effects[h])) continue;
            const HandStop& hand = hands(drawn.mode)[h];
            for (const CircuitChange::Forced& each : hand.change.forced)
                if (!each.conducts) found.insert(each.edge);
            const FollowedState was = follower_.follow(drawn.mode, {}, {}),
                                now = follower_.follow(drawn.mode, hand.change, {});
            for (std::size_t i = 0; i < was.pulled.size(); ++i) {
                if (was.pulled[i] == now.pulled[i]) continue;
                for (const EdgeId id : circuit_.edges_of_part[follower_.coils()[i].index()]) {
                    const Edge& edge = circuit_.edge(id);
                    const bool rests_closed = edge.throw_ != 0;
                    if (edge.role == EdgeRole::switching && (now.pulled[i] != 0) == rests_closed)
                        found.insert(id);
                }
            }
        }
    return {found.begin(), found.end()};
}

std::vector<std::string> FailureJudge::left_running(const CircuitChange& change) const {
    std::set<std::string> names;
    for (const DriveStops& drawn : as_drawn_) {
        if (!drawn.any(StopEffect::cuts) && !drawn.any(StopEffect::asks)) continue;
        const std::vector<HandStop>& with = hands(drawn.mode);
        bool stopped = false;
        // What did it as drawn is asked first: mostly the first answer is enough.
        for (const bool others : {false, true})
            for (std::size_t h = 0; h < with.size() && !stopped; ++h)
                if (stops_it(drawn.effects[h]) != others)
                    stopped = stops_it(judge_.effect(drawn.mode, drawn.drive, with[h], change));
        if (!stopped && judge_.can_run(drawn.mode, drawn.drive, change))
            names.insert(name(follower_.drives()[drawn.drive].part));
    }
    return {names.begin(), names.end()};
}

bool FailureJudge::takes_a_stop(const FailureOutcome& outcome) const {
    return !names_lost(outcome, StopEffect::cuts, std::nullopt).empty() ||
           !names_lost(outcome, StopEffect::asks, std::nullopt).empty();
}

// What somebody who works with it notices: what moves, lights or lets go. A drive that is live where it was
// dead shows nothing.
bool FailureJudge::shows(const FollowedState& was, const FollowedState& now) const {
    for (std::size_t i = 0; i < was.drives.size(); ++i) {
        if ((was.drives[i] == DriveState::runs) != (now.drives[i] == DriveState::runs)) return true;
        if (was.drives[i] == DriveState::ready && now.drives[i] < DriveState::ready) return true;
    }
    for (std::size_t i = 0; i < was.loads.size(); ++i)
        if (was.loads[i] != now.loads[i]) return true;
    for (std::size_t i = 0; i < was.pulled.size(); ++i)
        if (was.pulled[i] != now.pulled[i] &&
            circuit_.harness->part(follower_.coils()[i]).kind == Kind::contactor)
            return true;
    return !now.settles || now.shorted.size() > was.shorted.size();
}

void FailureJudge::judge(TriedFailure& tried, const FailureOutcome& outcome) const {
    bool shown = false;
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        const std::string text = effect_text(circuit_, follower_, before(place), outcome.states[place]);
        if (!text.empty()) tried.effects.push_back({modes_[place], text});
        shown = shown || (!is_struck(place) && shows(before(place), outcome.states[place]));
    }
    tried.hidden = !shown;
    const FailureKind kind = tried.failure.kind;
    if (kind == FailureKind::one_cell) {
        judge_cell(tried);
        return;
    }
    if (kind == FailureKind::left_in) {
        judge_charging(tried, outcome);
        return;
    }
    if (judge_unstoppable(tried, outcome) || judge_brakes(tried, outcome) || judge_asks(tried, outcome) ||
        judge_starts(tried, outcome) || judge_shorts(tried, outcome) || judge_closing(tried, outcome) ||
        judge_voltages(tried, outcome) || judge_returned(tried) || judge_hidden(tried, outcome) ||
        judge_lost(tried, outcome))
        return;
    tried.heading = tried.effects.empty() ? FailureHeading::nothing : FailureHeading::at_rest;
}

bool FailureJudge::judge_unstoppable(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> drives;
    std::vector<DriveStops> left;
    for (std::size_t i = 0; i < outcome.stops.size(); ++i) {
        const DriveStops& now = outcome.stops[i];
        const bool could = as_drawn_[i].any(StopEffect::cuts) || as_drawn_[i].any(StopEffect::asks);
        if (!now.runs || !could || now.any(StopEffect::cuts) || now.any(StopEffect::asks)) continue;
        drives.insert(name(follower_.drives()[now.drive].part));
        tried.in_modes.insert(tried.in_modes.end(), alike_[i].begin(), alike_[i].end());
        left.push_back(now);
    }
    if (drives.empty()) return false;
    tried.heading = FailureHeading::unstoppable;
    tried.level = Severity::error;
    tried.then = "nothing that a hand works stops " + names_in_short({drives.begin(), drives.end()});
    const Names pulls = names_with(left, StopEffect::pulls);
    tried.can_do =
        pulls.empty() ? "" : names_in_short(pulls) + " by pulling under load, without a rating for it";
    return true;
}

bool FailureJudge::judge_asks(TriedFailure& tried, const FailureOutcome& outcome) const {
    const Names asks = names_lost(outcome, StopEffect::cuts, StopEffect::asks);
    if (asks.empty()) return false;
    std::set<std::string> drives;
    for (std::size_t i = 0; i < outcome.stops.size(); ++i)
        if (outcome.stops[i].any(StopEffect::asks) && !as_drawn_[i].any(StopEffect::asks)) {
            drives.insert(name(follower_.drives()[outcome.stops[i].drive].part));
            tried.in_modes.insert(tried.in_modes.end(), alike_[i].begin(), alike_[i].end());
        }
    tried.heading = FailureHeading::only_asks;
    tried.level = Severity::warning;
    tried.then =
        names_that(asks, "only asks", "only ask") + " " +
        names_that({drives.begin(), drives.end()}, "to stop, which stays live", "to stop, which stay live");
    const Names cuts = in_all(outcome.stops, StopEffect::cuts),
                pulls = in_all(outcome.stops, StopEffect::pulls);
    tried.can_do = !cuts.empty() ? names_that(cuts, "cuts it off", "cut it off")
                   : !pulls.empty()
                       ? "only " + names_in_short(pulls) + " by pulling under load, without a rating for it"
                       : "no one hand cuts it off";
    if (tried.hidden) tried.test = test_of(tried.failure);
    return true;
}

}  // namespace loomward
