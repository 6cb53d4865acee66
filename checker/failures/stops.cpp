#include "checker/failures/stops.hpp"

#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

std::vector<HandStop> hand_stops(const Circuit& circuit, const Mode& mode) {
    std::vector<HandStop> found;
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Kind kind = circuit.harness->parts[i].kind;
        const State& state = mode.states[i];
        const bool worked =
            (kind == Kind::switch_ && state.posture == Posture::closed) ||
            (kind == Kind::breaker && state.posture != Posture::open) ||
            (kind == Kind::connector && state.posture != Posture::unmated) ||
            (kind == Kind::selector && state.posture == Posture::at_position && state.position != 0);
        if (!worked) continue;
        HandStop hand;
        hand.part = PartId(i);
        hand.plug = kind == Kind::connector;
        for (const EdgeId id : circuit.edges_of_part[i]) {
            const Edge& edge = circuit.edge(id);
            if (edge.role != EdgeRole::switching && edge.role != EdgeRole::breaker &&
                edge.role != EdgeRole::contact)
                continue;
            hand.change.forced.push_back({id, kind == Kind::selector && edge.way == 0});
        }
        found.push_back(std::move(hand));
    }
    return found;
}

CircuitChange StopJudge::run_away(std::size_t drive, const CircuitChange& failure) const {
    CircuitChange change = failure;
    change.running.push_back(follower_.drives()[drive].part);
    return change;
}

bool StopJudge::can_run(ModeId mode, std::size_t drive, const CircuitChange& failure) const {
    return follower_.follow(mode, {}, run_away(drive, failure)).drives[drive] == DriveState::runs;
}

// What it takes at the most, A; 0: not known.
double StopJudge::takes_A(std::size_t drive) const {
    const auto& entry = follower_.drives()[drive];
    if (entry.controller) {
        const auto limit = supply_limit(facts_, entry.part);
        return limit ? limit->current_A : 0;
    }
    const auto amps = facts_.quantity(entry.part, "(current)"_attr);
    return amps ? amps->hi : 0;
}

// What says nothing of it may.
bool StopJudge::may_break(PartId part, double amps) const {
    if (facts_.word(part, "breaks"_attr) == "none") return false;
    const auto breaks = facts_.quantity(part, "breaks"_attr);
    return !breaks || breaks->lo >= amps;
}

StopEffect StopJudge::effect(ModeId mode, std::size_t drive, const HandStop& hand,
                             const CircuitChange& failure) const {
    const CircuitChange runs = run_away(drive, failure);
    const FollowedState after = follower_.follow(mode, hand.change, runs);
    if (after.drives[drive] >= DriveState::ready) return StopEffect::none;
    if (after.drives[drive] == DriveState::live) return StopEffect::asks;
    // A plug is nothing to stop with, whatever a contactor makes of it.
    if (hand.plug) return StopEffect::pulls;
    const double amps = takes_A(drive);
    const bool itself = follower_.follow_held(mode, hand.change, runs).drives[drive] < DriveState::live;
    if (itself) return may_break(hand.part, amps) ? StopEffect::cuts : StopEffect::pulls;
    // A contactor does it.
    const FollowedState before = follower_.follow(mode, {}, runs);
    bool able = false;
    for (std::size_t i = 0; i < follower_.coils().size(); ++i)
        if (before.pulled[i] != after.pulled[i]) able = able || may_break(follower_.coils()[i], amps);
    return able ? StopEffect::cuts : StopEffect::pulls;
}

}  // namespace loomward
