// Failures that put the poles of a pack together, and what is left once a guard has opened.
#include <algorithm>
#include <set>

#include "checker/failures/failure_judge.hpp"
#include "checker/failures/failure_words.hpp"

namespace loomward {

namespace {

bool guards(EdgeRole role) {
    return role == EdgeRole::fuse || role == EdgeRole::breaker || role == EdgeRole::protector ||
           role == EdgeRole::trip;
}

CircuitChange with_open(CircuitChange change, EdgeId guard) {
    std::erase_if(change.forced, [&](const CircuitChange::Forced& each) { return each.edge == guard; });
    change.forced.push_back({guard, false});
    return change;
}

}  // namespace

std::vector<EdgeId> FailureJudge::guards_of(ModeId mode, const CircuitChange& change) const {
    const std::size_t shorted = follower_.follow(mode, {}, change).shorted.size();
    std::vector<EdgeId> found;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
        if (guards(circuit_.edges[i].role) &&
            follower_.follow(mode, {}, with_open(change, EdgeId(i))).shorted.size() < shorted)
            found.emplace_back(i);
    return found;
}

FollowedState FailureJudge::follow_through(ModeId mode, const CircuitChange& change) const {
    FollowedState state = follower_.follow(mode, {}, change);
    if (state.shorted.size() <= follower_.as_drawn(mode).shorted.size()) return state;
    const std::vector<EdgeId> opens = guards_of(mode, change);
    if (opens.empty()) return state;
    const std::vector<PartId> shorted = state.shorted;
    state = follower_.follow(mode, {}, with_open(change, opens.front()));
    state.shorted = shorted;
    return state;
}

bool FailureJudge::judge_shorts(TriedFailure& tried, const FailureOutcome& outcome) const {
    std::set<std::string> packs, opens;
    bool guarded = true;
    for (std::size_t place = 0; place < modes_.size(); ++place) {
        const std::vector<PartId>& was = before(place).shorted;
        bool any = false;
        for (const PartId each : outcome.states[place].shorted) {
            if (std::find(was.begin(), was.end(), each) != was.end()) continue;
            packs.insert(name(each));
            any = true;
        }
        if (!any) continue;
        tried.in_modes.push_back(modes_[place]);
        const std::vector<EdgeId> by = guards_of(modes_[place], tried.failure.change);
        guarded = guarded && !by.empty();
        for (const EdgeId each : by) opens.insert(name(circuit_.edge(each).part));
    }
    if (packs.empty()) return false;
    tried.heading = FailureHeading::shorts_pack;
    tried.level = guarded ? Severity::warning : Severity::error;
    tried.then = names_that({packs.begin(), packs.end()}, "is", "are") + " shorted in mode " +
                 mode_names(*circuit_.harness, tried.in_modes);
    tried.can_do = guarded ? "until " + names_in_short({opens.begin(), opens.end()}) +
                                 (opens.size() == 1 ? " opens" : " open, one of them first")
                           : "and nothing on the way opens";
    return true;
}

}  // namespace loomward
