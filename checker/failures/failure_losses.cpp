// Consequences that do not stand in the way of stopping: what is lost, overloaded or not seen.
#include <algorithm>
#include <cmath>
#include <set>

#include "checker/failures/failure_judge.hpp"
#include "checker/failures/failure_words.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/tasks.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string volts_text(double volts) {
    return to_text(volts, Dimension::voltage, 3);
}

}  // namespace

// A holding brake that some mode under way feeds, and that the stops let go as drawn.
bool FailureJudge::judge_holding(TriedFailure& tried) const {
    const Harness& harness = *circuit_.harness;
    if (!row(tried.failure.kind).adds) return false;
    for (std::size_t b = 0; b < follower_.loads().size(); ++b) {
        const PartId brake = circuit_.edge(follower_.loads()[b]).part;
        if (!holds_unfed(harness, harness.part(brake))) continue;
        std::set<std::string> leave, ends;
        bool held = true;
        for (std::size_t i = 0; i < as_drawn_.size(); ++i) {
            const DriveStops& drawn = as_drawn_[i];
            const auto open = [&](const CircuitChange& hand, const CircuitChange& failure) {
                return follower_.follow(drawn.mode, hand, failure).loads[b] != FedState::off;
            };
            if (!open({}, {})) continue;
            CircuitChange all;
            std::size_t lost = 0;
            for (std::size_t h = 0; h < drawn.effects.size(); ++h) {
                const HandStop& hand = hands(drawn.mode)[h];
                const bool now_open = open(hand.change, tried.failure.change);
                if (!now_open) ends.insert(name(hand.part));
                if (drawn.effects[h] != StopEffect::cuts && drawn.effects[h] != StopEffect::asks) continue;
                all = all + hand.change;
                if (!now_open || open(hand.change, {})) continue;
                leave.insert(name(hand.part));
                ++lost;
            }
            if (lost == 0) continue;
            tried.in_modes.insert(tried.in_modes.end(), alike_[i].begin(), alike_[i].end());
            held = held && !open(all, tried.failure.change);
        }
        // A stop that sticks is told as such.
        if (tried.in_modes.empty() ||
            (leave.size() == 1 && tried.failure.part && leave.contains(name(tried.failure.part)))) {
            tried.in_modes.clear();
            continue;
        }
        tried.heading = held ? FailureHeading::only_asks : FailureHeading::unstoppable;
        tried.level = held ? Severity::warning : Severity::error;
        tried.then = names_that({leave.begin(), leave.end()}, "stops", "stop") + " the drive, but " +
                     name(brake) + " stays fed and open: nothing holds";
        tried.can_do = ends.empty() ? "no hand ends it"
                                    : "only " + names_that({ends.begin(), ends.end()}, "ends it", "end it");
        return true;
    }
    return false;
}

bool FailureJudge::judge_voltages(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> parts;
    double most_V = 0;
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        const auto look = [&](const std::vector<FedState>& was, const std::vector<FedState>& now,
                              const std::vector<EdgeId>& edges) {
            for (std::size_t i = 0; i < was.size(); ++i) {
                if (now[i] != FedState::above || was[i] == FedState::above) continue;
                const Edge& edge = circuit_.edge(edges[i]);
                parts.insert(name(edge.part));
                most_V =
                    std::max(most_V, follower_.highest_V(modes_[place], tried.failure.change, edge.from));
                if (tried.in_modes.empty() || tried.in_modes.back() != modes_[place])
                    tried.in_modes.push_back(modes_[place]);
            }
        };
        look(before(place).loads, outcome.states[place].loads, follower_.loads());
        look(before(place).feeds, outcome.states[place].feeds, follower_.others());
    }
    if (parts.empty()) return false;
    // Fuses on the way that cannot break it.
    std::set<std::string> weak;
    for (const Edge& edge : circuit_.edges) {
        if (edge.role != EdgeRole::fuse) continue;
        const auto rated = facts_.quantity(edge.part, "(operational-voltage)"_attr);
        const double at_V =
            std::max(follower_.highest_V(tried.in_modes.front(), tried.failure.change, edge.from),
                     follower_.highest_V(tried.in_modes.front(), tried.failure.change, edge.to));
        const double drawn_V = std::max(follower_.highest_V(tried.in_modes.front(), {}, edge.from),
                                        follower_.highest_V(tried.in_modes.front(), {}, edge.to));
        if (rated && at_V > rated->hi && drawn_V <= rated->hi) weak.insert(name(edge.part));
    }
    tried.heading = FailureHeading::breaks_behind;
    tried.level = weak.empty() ? Severity::warning : Severity::error;
    tried.then = names_in_short({parts.begin(), parts.end()}) + (parts.size() == 1 ? " gets " : " get ") +
                 volts_text(most_V);
    if (!weak.empty()) tried.then += "; " + names_in_short({weak.begin(), weak.end()}) + " may not break it";
    return true;
}

// What opens the way to the pack while a drive gives back.
bool FailureJudge::judge_returned(TriedFailure& tried) const {
    const Harness& harness = *circuit_.harness;
    for (const ModeId mode : modes_)
        for (std::size_t d = 0; d < follower_.drives().size(); ++d) {
            const Follower::DriveEntry& drive = follower_.drives()[d];
            const Mode& said = harness.modes[mode.index()];
            const std::int32_t place = said.states[drive.part.index()].profile;
            if (place < 0) continue;
            const Profile& profile = said.profiles[static_cast<std::size_t>(place)];
            if (profile.flow != Flow::returns) continue;
            if (!follower_.on_pack(mode, {}, d) || follower_.on_pack(mode, tried.failure.change, d)) continue;
            double most_A = 0;
            for (const auto& level : profile.levels) most_A = std::max(most_A, level.amount.hi);
            const auto input = facts_.quantity(drive.part, "input"_attr);
            tried.heading = FailureHeading::breaks_behind;
            // Electronics that open do so under way for reasons of their own; the rest has to fail first.
            tried.level = tried.failure.kind == FailureKind::trips ? Severity::error : Severity::warning;
            tried.in_modes.push_back(mode);
            tried.then = "what " + name(drive.part) + " gives back" +
                         (most_A > 0 ? " (" + to_text(most_A, Dimension::current, 3) + ")" : "") +
                         " has nowhere to go: " +
                         (input ? volts_text(input->hi) + " and more, until it stops giving"
                                : "its voltage rises until it stops giving");
        }
    return !tried.in_modes.empty();
}

// A mode, other than under way if there is one, and a hand that shows it; else a mode in which a drive has
// volts that it should not have.
std::string FailureJudge::test_of(const SingleFailure& failure) const {
    for (const bool under_way : {false, true})
        for (std::size_t place = 0; place < modes_.size(); ++place) {
            if (is_under_way(place) != under_way || is_struck(place)) continue;
            const std::string mode(circuit_.harness->modes[modes_[place].index()].name);
            for (const HandStop& hand : hands(modes_[place])) {
                if (hand.plug) continue;
                const FollowedState well = follower_.follow(modes_[place], hand.change, {});
                if (!shows(before(place), well) ||
                    !shows(well, follower_.follow(modes_[place], hand.change, failure.change)))
                    continue;
                return "open " + name(hand.part) + " in mode " + mode +
                       ", which has to give: " + effect_text(circuit_, follower_, before(place), well);
            }
        }
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        const FollowedState failed = follower_.follow(modes_[place], {}, failure.change);
        for (std::size_t d = 0; d < failed.drives.size(); ++d)
            if (before(place).drives[d] < DriveState::charged && failed.drives[d] >= DriveState::live)
                return "in mode " + std::string(circuit_.harness->modes[modes_[place].index()].name) +
                       " there must be no volts at " + name(follower_.drives()[d].part);
    }
    return {};
}

std::string FailureJudge::test_of_contact(const SingleFailure& failure) const {
    for (const CircuitChange::Forced& each : failure.change.forced) {
        const Edge& edge = circuit_.edge(each.edge);
        if (!each.conducts || edge.role != EdgeRole::switching) continue;
        const Harness& harness = *circuit_.harness;
        const bool by_coil = std::find(follower_.coils().begin(), follower_.coils().end(), edge.part) !=
                             follower_.coils().end();
        return "with " + name(edge.part) + (by_coil ? " released" : " open") + " nothing may conduct from " +
               std::string(harness.terminal(edge.from_terminal).path) + " to " +
               std::string(harness.terminal(edge.to_terminal).path);
    }
    return {};
}

bool FailureJudge::judge_hidden(TriedFailure& tried, const FailureOutcome& outcome) const {
    if (!tried.hidden) return false;
    std::string then;
    std::set<std::string> lost;
    for (const StopEffect was : {StopEffect::cuts, StopEffect::asks})
        for (const std::string& each : names_lost(outcome, was, std::nullopt)) lost.insert(each);
    if (!lost.empty()) {
        // Of the drives that it stopped alone.
        std::set<std::string> left, drives;
        for (std::size_t i = 0; i < outcome.stops.size(); ++i) {
            const DriveStops& now = outcome.stops[i];
            if (!now.runs || now.effects == as_drawn_[i].effects) continue;
            drives.insert(name(follower_.drives()[now.drive].part));
            for (std::size_t h = 0; h < now.effects.size(); ++h)
                if (now.effects[h] == StopEffect::cuts) left.insert(name(hands(now.mode)[h].part));
        }
        for (const std::string& each : lost) left.erase(each);
        then = names_that({lost.begin(), lost.end()}, "no longer stops", "no longer stop") + " " +
               names_in_short({drives.begin(), drives.end()}) +
               (left.empty() ? std::string(": nothing cuts the drive off then")
                             : ": " + names_in_short({left.begin(), left.end()}) +
                                   (left.size() == 1 ? " is left" : " are left"));
        tried.test = test_of(tried.failure);
    }
    std::set<std::string> drives;
    bool precharge = false;
    for (std::size_t place = 0; place < modes_.size() && then.empty(); ++place)
        for (std::size_t d = 0; d < follower_.drives().size(); ++d) {
            if (!follower_.drives()[d].controller) continue;  // it has no capacitors
            const DriveState was = before(place).drives[d], now = outcome.states[place].drives[d];
            if (now >= was || was > DriveState::charged || now > DriveState::bled) continue;
            precharge = precharge || was == DriveState::charged;
            drives.insert(name(follower_.drives()[d].part));
            tried.in_modes.push_back(modes_[place]);
        }
    if (!drives.empty()) {
        const std::string who = names_in_short({drives.begin(), drives.end()});
        std::vector<ModeId> modes(tried.in_modes.begin(),
                                  std::unique(tried.in_modes.begin(), tried.in_modes.end()));
        if (modes.size() > 3) modes.resize(3);
        const std::string mode = mode_names(*circuit_.harness, modes);
        then = precharge ? "no precharge: a contactor closes onto " + who + " uncharged"
                         : names_that({drives.begin(), drives.end()}, "stays", "stay") +
                               " charged: the bleed is gone";
        tried.test = precharge ? "volts at " + who + " in mode " + mode + " must rise to those of the pack"
                               : "volts at " + who + " in mode " + mode + " must fall below 60 V";
    }
    if (then.empty() && tried.failure.kind == FailureKind::gone) {
        then = "the other packs carry it all";
        tried.test = "current of each pack under load";
    }
    if (then.empty()) return false;
    tried.heading = FailureHeading::not_seen;
    tried.level = Severity::warning;
    tried.then = then;
    return true;
}

bool FailureJudge::judge_lost(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> drives, brakes, loads;
    bool matters = false;
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        if (!is_under_way(place)) continue;
        const FollowedState &was = before(place), &now = outcome.states[place];
        const std::size_t known = drives.size() + brakes.size() + loads.size();
        for (std::size_t d = 0; d < was.drives.size(); ++d)
            if (was.drives[d] == DriveState::runs && now.drives[d] != DriveState::runs)
                drives.insert(name(follower_.drives()[d].part));
        for (std::size_t i = 0; i < was.loads.size(); ++i) {
            if (was.loads[i] == FedState::off || now.loads[i] != FedState::off) continue;
            const PartId part = circuit_.edge(follower_.loads()[i]).part;
            const Part& load = circuit_.harness->part(part);
            matters = matters || warns_others(*circuit_.harness, load);
            (holds_unfed(*circuit_.harness, load) ? brakes : loads).insert(name(part));
        }
        if (drives.size() + brakes.size() + loads.size() > known) tried.in_modes.push_back(modes_[place]);
    }
    if (tried.in_modes.empty()) return false;
    tried.heading = FailureHeading::stops_under_way;
    tried.level = !drives.empty() || !brakes.empty() || matters ? Severity::warning : Severity::note;
    const auto add = [&](const std::set<std::string>& names, std::string_view one, std::string_view many) {
        if (names.empty()) return;
        tried.then += (tried.then.empty() ? "" : ", ") + names_in_short({names.begin(), names.end()}) +
                      std::string(names.size() == 1 ? one : many);
    };
    add(drives, " stops", " stop");
    add(brakes, " closes", " close");
    add(loads, " goes off", " go off");
    return true;
}

bool FailureJudge::judge_charging(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> drives;
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        if (follower_.forces_nothing_new(modes_[place], tried.failure.change)) continue;
        for (std::size_t d = 0; d < follower_.drives().size(); ++d)
            if (outcome.states[place].drives[d] == DriveState::runs) {
                drives.insert(name(follower_.drives()[d].part));
                tried.in_modes.push_back(modes_[place]);
            }
    }
    if (drives.empty()) return false;
    tried.heading = FailureHeading::forgotten;
    tried.level = Severity::warning;
    tried.then = "with its lead in " + names_that({drives.begin(), drives.end()}, "still runs", "still run") +
                 ", nothing prevents it";
    return true;
}

// U of the charger shared by one cell less than there are.
bool FailureJudge::judge_cell(TriedFailure& tried) const {
    const PartId pack = tried.failure.part;
    const auto cells = facts_.count(pack, "cells"_attr, 0);
    const auto cell_V = facts_.quantity(pack, "cell-voltage"_attr);
    if (!cells || *cells < 2 || !cell_V) return false;
    const Harness& harness = *circuit_.harness;
    const double full_V = *cells * cell_V->hi;
    double most_V = 0;
    std::string charger, guard;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        if (harness.parts[i].kind == Kind::bms) guard = name(PartId(i));
        if (harness.parts[i].kind != Kind::charger) continue;
        const auto volts = facts_.quantity(PartId(i), "output"_attr, 0);
        if (!volts || volts->hi < 0.9 * full_V || volts->hi > 1.1 * full_V || volts->hi <= most_V) continue;
        most_V = volts->hi;
        charger = name(PartId(i));
    }
    if (charger.empty()) return false;
    const double each_V = most_V / (*cells - 1);
    if (each_V <= cell_V->hi) return false;
    tried.heading = guard.empty() ? FailureHeading::forgotten : FailureHeading::question;
    tried.level = guard.empty() ? Severity::error : Severity::note;
    tried.then = volts_text(most_V) + " of " + charger + " on " + std::to_string(*cells - 1) +
                 " cells: " + volts_text(each_V) + " each, against " + volts_text(cell_V->hi);
    tried.can_do =
        guard.empty() ? "nothing watches the cells" : guard + " has to end the charge: ask its maker";
    return true;
}

}  // namespace loomward
