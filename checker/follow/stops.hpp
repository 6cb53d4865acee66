// What a person can work with a hand, and what each of it does to a drive that runs whatever it is asked.
#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include "checker/follow/follow.hpp"

namespace loomward {

// A switch that a mode has closed, a breaker, a plug, a selector that is not at its first position.
struct HandStop {
    PartId part;
    bool plug = false;
    CircuitChange change;
};
// Where some part says `hand`, those that say it and the stops; `hand no` is never in reach.
std::vector<HandStop> hand_stops(const Circuit& circuit, const Mode& mode);

// The same of one part, where it is one of them.
std::optional<HandStop> hand_stop(const Circuit& circuit, const Mode& mode, PartId part);

// What somebody declared, or what is taken for it, as far as hands are concerned.
struct DeclaredHands {
    std::vector<PartId> stops;  // said to be stops
    std::vector<PartId>
        taken_stops;  // switches with `rest closed` in the loop of a coil, that say nothing of it
    std::vector<PartId> in_reach;      // said to be in reach
    std::vector<PartId> out_of_reach;  // said not to be
};
DeclaredHands declared_hands(const Circuit& circuit, const Follower& follower);
// Those that say they are stops, and those that are called so, each in the order of the parts.
std::vector<PartId> stops_of(const Circuit& circuit, const Follower& follower);
// Whether there is any of them.
bool has_stop(const Harness& harness);

enum class StopEffect : std::uint8_t {
    none,
    asks,   // power stays at its input, key or enable goes
    pulls,  // takes the power off, but may not break what flows, or is a plug
    cuts,   // takes the power off
};

// A drive that is told to run in a mode, with the failure and the hand; `none` too where it cannot run.
class StopJudge {
  public:
    StopJudge(const Circuit& circuit, const Facts& facts, const Follower& follower)
        : circuit_(circuit), facts_(facts), follower_(follower) {}

    bool can_run(ModeId mode, std::size_t drive, const CircuitChange& failure) const;
    StopEffect effect(ModeId mode, std::size_t drive, const HandStop& hand,
                      const CircuitChange& failure) const;

  private:
    CircuitChange run_away(ModeId mode, std::size_t drive, const CircuitChange& failure) const;
    bool may_break(PartId part, double amps, double volts) const;
    std::vector<PartId> on_the_way(ModeId mode, std::size_t drive, const FollowedState& before,
                                   const FollowedState& after, const CircuitChange& runs) const;
    double takes_A(std::size_t drive) const;

    const Circuit& circuit_;
    const Facts& facts_;
    const Follower& follower_;
};

}  // namespace loomward
