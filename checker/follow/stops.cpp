#include "checker/follow/stops.hpp"

#include <algorithm>

#include "checker/parts/elements.hpp"
#include "checker/parts/tasks.hpp"

namespace loomward {

using namespace literals;

namespace {

bool says_yes(const Harness& harness, PartId part, Attr attribute) {
    return harness.value(harness.part(part).attributes, attribute).text == "yes";
}
bool says_no(const Harness& harness, PartId part, Attr attribute) {
    constexpr std::string_view denial = "no";
    return harness.value(harness.part(part).attributes, attribute).text == denial;
}

// Whether some part says that it is in reach: then those that do not are not.
bool reach_is_said(const Harness& harness) {
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        if (says_yes(harness, PartId(i), "hand"_attr)) return true;
    return false;
}

// Opened in some mode, a coil lets go, and with its contacts held every drive would have its power still: it
// lies in the loop of the coil, and not on the way of the power.
bool lets_a_coil_go(const Circuit& circuit, const Follower& follower, PartId part) {
    bool lets_go = false;
    CircuitChange opened;
    for (const EdgeId id : circuit.edges_of_part[part.index()])
        if (circuit.edge(id).role == EdgeRole::switching) opened.forced.push_back({id, false});
    for (std::size_t m = 0; m < circuit.harness->modes.size(); ++m) {
        const FollowedState& before = follower.as_drawn(ModeId(m));
        const FollowedState after = follower.follow(ModeId(m), opened, {});
        const FollowedState held = follower.follow_held(ModeId(m), opened, {});
        for (std::size_t d = 0; d < before.drives.size(); ++d)
            if (before.drives[d] >= DriveState::live && held.drives[d] < DriveState::live) return false;
        for (std::size_t i = 0; i < before.pulled.size(); ++i)
            lets_go = lets_go || (before.pulled[i] && !after.pulled[i]);
    }
    return lets_go;
}

}  // namespace

DeclaredHands declared_hands(const Circuit& circuit, const Follower& follower) {
    const Harness& harness = *circuit.harness;
    DeclaredHands declared;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const PartId part(i);
        if (says_yes(harness, part, "hand"_attr)) declared.in_reach.push_back(part);
        if (says_no(harness, part, "hand"_attr)) declared.out_of_reach.push_back(part);
        if (says_yes(harness, part, "stop"_attr)) declared.stops.push_back(part);
        const bool could = harness.parts[i].kind == Kind::switch_ && !says_no(harness, part, "stop"_attr) &&
                           !says_yes(harness, part, "stop"_attr) &&
                           harness.value(harness.parts[i].attributes, "rest"_attr).text == "closed";
        if (could && lets_a_coil_go(circuit, follower, part)) declared.taken_stops.push_back(part);
    }
    return declared;
}

namespace {

std::uint32_t parting_position(const Circuit& circuit, PartId selector) {
    const std::size_t count = circuit.harness->positions_of(selector).size();
    std::vector<bool> joins(count, false);
    for (const EdgeId id : circuit.edges_of_part[selector.index()])
        if (const Edge& edge = circuit.edge(id); edge.role == EdgeRole::switching && edge.way < count)
            joins[edge.way] = true;
    const auto off = std::find(joins.begin(), joins.end(), false);
    return off == joins.end() ? 0 : static_cast<std::uint32_t>(off - joins.begin());
}

}  // namespace

std::vector<HandStop> hand_stops(const Circuit& circuit, const Mode& mode) {
    std::vector<HandStop> found;
    const Harness& harness = *circuit.harness;
    const bool said = reach_is_said(harness);
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Kind kind = circuit.harness->parts[i].kind;
        const State& state = mode.states[i];
        // A selector lets go in the position that joins nothing, in its first one where each joins something.
        const std::uint32_t off = kind == Kind::selector ? parting_position(circuit, PartId(i)) : 0;
        const bool worked =
            (kind == Kind::switch_ && state.posture == Posture::closed) ||
            (kind == Kind::breaker && state.posture != Posture::open) ||
            (kind == Kind::connector && state.posture != Posture::unmated) ||
            (kind == Kind::selector && state.posture == Posture::at_position && state.position != off);
        if (!worked || says_no(harness, PartId(i), "hand"_attr)) continue;
        if (said && !says_yes(harness, PartId(i), "hand"_attr) &&
            !says_yes(harness, PartId(i), "stop"_attr) && !called_stop(harness, harness.parts[i]))
            continue;
        HandStop hand;
        hand.part = PartId(i);
        hand.plug = kind == Kind::connector;
        for (const EdgeId id : circuit.edges_of_part[i]) {
            const Edge& edge = circuit.edge(id);
            if (edge.role != EdgeRole::switching && edge.role != EdgeRole::breaker &&
                edge.role != EdgeRole::contact)
                continue;
            hand.change.forced.push_back({id, kind == Kind::selector && edge.way == off});
        }
        found.push_back(std::move(hand));
    }
    return found;
}

std::optional<HandStop> hand_stop(const Circuit& circuit, const Mode& mode, PartId part) {
    std::vector<HandStop> hands = hand_stops(circuit, mode);
    const auto found =
        std::find_if(hands.begin(), hands.end(), [&](const HandStop& hand) { return hand.part == part; });
    return found == hands.end() ? std::nullopt : std::optional(std::move(*found));
}

std::vector<PartId> stops_of(const Circuit& circuit, const Follower& follower) {
    std::vector<PartId> list = declared_hands(circuit, follower).stops;
    const Harness& harness = *circuit.harness;
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        if (called_stop(harness, harness.parts[i])) list.emplace_back(i);
    return list;
}

bool has_stop(const Harness& harness) {
    for (std::size_t i = 0; i < harness.parts.size(); ++i)
        if (says_yes(harness, PartId(i), "stop"_attr) || called_stop(harness, harness.parts[i])) return true;
    return false;
}

// A mode that has a controller draw, and leaves its key open, means that it runs: then as if every hand
// switch that the mode leaves open were closed.
CircuitChange StopJudge::run_away(ModeId mode, std::size_t drive, const CircuitChange& failure) const {
    CircuitChange change = failure;
    const PartId part = follower_.drives()[drive].part;
    change.running.push_back(part);
    const Mode& said = circuit_.harness->modes[mode.index()];
    if (said.own || said.states[part.index()].profile < 0 ||
        follower_.follow(mode, {}, change).drives[drive] != DriveState::live)
        return change;
    CircuitChange keyed = change;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.role == EdgeRole::switching && circuit_.harness->part(edge.part).kind == Kind::switch_ &&
            !is_closed(circuit_, said, edge))
            keyed.forced.push_back({EdgeId(i), true});
    }
    return follower_.follow(mode, {}, keyed).drives[drive] == DriveState::runs ? keyed : change;
}

bool StopJudge::can_run(ModeId mode, std::size_t drive, const CircuitChange& failure) const {
    return follower_.follow(mode, {}, run_away(mode, drive, failure)).drives[drive] == DriveState::runs;
}

// What it takes at the most, A; 0: not known.
double StopJudge::takes_A(std::size_t drive) const {
    const auto& entry = follower_.drives()[drive];
    if (entry.controller) {
        const auto limit = supply_limit(facts_, entry.part);
        return limit ? limit->current_A : 0;
    }
    const auto amps = facts_.quantity(entry.part, "(current)"_attr);
    double most_A = amps ? amps->hi : 0;
    const auto watts = facts_.quantity(entry.part, "(power)"_attr),
               rated = facts_.quantity(entry.part, "(rated-voltage)"_attr);
    if (watts && rated && rated->lo > 0) most_A = std::max(most_A, watts->hi / rated->lo);
    return most_A;
}

// What says nothing of it may; what is said for an alternating current says nothing of a direct one.
bool StopJudge::may_break(PartId part, double amps, double volts) const {
    if (facts_.word(part, "breaks"_attr) == "none" || facts_.word(part, "breaks"_attr, 2) == "ac")
        return false;
    const auto breaks = facts_.quantity(part, "breaks"_attr), at = facts_.quantity(part, "breaks"_attr, 1);
    return (!breaks || breaks->lo >= amps) && (!at || at->hi >= volts);
}

// Coils that moved and whose contacts are on the way of the drive: opened alone they take its power, or left
// as they were they alone keep it.
std::vector<PartId> StopJudge::on_the_way(ModeId mode, std::size_t drive, const FollowedState& before,
                                          const FollowedState& after, const CircuitChange& runs) const {
    std::vector<std::pair<PartId, CircuitChange>> moved;
    for (std::size_t i = 0; i < follower_.coils().size(); ++i) {
        if (before.pulled[i] == after.pulled[i]) continue;
        CircuitChange change;
        for (const EdgeId id : circuit_.edges_of_part[follower_.coils()[i].index()])
            if (const Edge& edge = circuit_.edge(id); edge.role == EdgeRole::switching)
                change.forced.push_back({id, (after.pulled[i] != 0) != (edge.throw_ != 0)});
        moved.emplace_back(follower_.coils()[i], std::move(change));
    }
    std::vector<PartId> found;
    for (const auto& [part, change] : moved) {
        CircuitChange others;
        for (const auto& [other, moves] : moved)
            if (other != part) others = others + moves;
        const bool alone = follower_.follow_held(mode, change, runs).drives[drive] < DriveState::live;
        if (alone || follower_.follow_held(mode, others, runs).drives[drive] >= DriveState::live)
            found.push_back(part);
    }
    return found;
}

StopEffect StopJudge::effect(ModeId mode, std::size_t drive, const HandStop& hand,
                             const CircuitChange& failure) const {
    const CircuitChange runs = run_away(mode, drive, failure);
    const FollowedState after = follower_.follow(mode, hand.change, runs);
    if (after.drives[drive] >= DriveState::ready) return StopEffect::none;
    if (after.drives[drive] == DriveState::live) return StopEffect::asks;
    // A plug is nothing to stop with, whatever a contactor makes of it.
    if (hand.plug) return StopEffect::pulls;
    const double amps = takes_A(drive);
    // A contact in the minus parts what the drive has.
    const auto volts_at = [&](PartId part) {
        double most_V = 0;
        for (const EdgeId id : circuit_.edges_of_part[part.index()]) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role == EdgeRole::switching || edge.role == EdgeRole::breaker)
                most_V = std::max({most_V, follower_.highest_V(mode, runs, edge.from),
                                   follower_.highest_V(mode, runs, edge.to)});
        }
        return most_V > 0 ? most_V : follower_.fed_V(mode, runs, drive);
    };
    const auto able_to_break = [&](PartId part) { return may_break(part, amps, volts_at(part)); };
    const bool itself = follower_.follow_held(mode, hand.change, runs).drives[drive] < DriveState::live;
    if (itself) return able_to_break(hand.part) ? StopEffect::cuts : StopEffect::pulls;
    // Contactors do it.
    const std::vector<PartId> contactors =
        on_the_way(mode, drive, follower_.follow(mode, {}, runs), after, runs);
    const bool able = !contactors.empty() && std::all_of(contactors.begin(), contactors.end(), able_to_break);
    return able ? StopEffect::cuts : StopEffect::pulls;
}

}  // namespace loomward
