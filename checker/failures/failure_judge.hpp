// One failure after the other: followed in every mode, its stops looked at, its worst consequence told. Used
// in checker/failures alone.
#pragma once
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "checker/failures/failures.hpp"
#include "checker/follow/stops.hpp"

namespace loomward {

// What each hand does to one drive in one mode under way; by index into the hands of the mode.
struct DriveStops {
    ModeId mode;
    std::size_t drive = 0;
    bool runs = false;  // told to run, it does
    std::vector<StopEffect> effects;
    bool any(StopEffect effect) const;
};

// A failure, or two, as they come out.
struct FailureOutcome {
    std::vector<FollowedState> states;  // by FailureJudge::modes
    std::vector<DriveStops> stops;      // by FailureJudge::as_drawn; empty: stops are as drawn
    std::string key() const;            // equal keys: alike
};

class FailureJudge {
  public:
    FailureJudge(const Circuit& circuit, const Facts& facts, const Follower& follower,
                 std::string_view only_mode);

    const std::vector<ModeId>& modes() const { return modes_; }
    const std::vector<ModeId>& contradictory() const { return contradictory_; }
    const std::vector<DriveStops>& as_drawn() const { return as_drawn_; }
    std::vector<std::string> as_drawn_text() const;
    // Drives that a stop leaves running with nothing failed; in `modes` where.
    std::vector<std::string> not_stopped_by(PartId stop, std::vector<ModeId>& modes) const;

    // A drive that nothing stops with nothing failed, where some mode runs it so; what is left may be pulled.
    struct Unstopped {
        PartId drive;
        std::vector<ModeId> modes;
        std::vector<std::string> pulls;
    };
    std::vector<Unstopped> unstopped() const;

    FailureOutcome try_out(const CircuitChange& change, bool adds) const;
    // The stops of the drives alone, as try_out has them.
    FailureOutcome stops_with(const CircuitChange& change) const;
    // Contacts that some hand that stops a drive opens, itself or by a coil that lets go; in order.
    std::vector<EdgeId> parted_by_stops() const;
    // What shows that a contact is welded which no mode shows.
    std::string test_of_contact(const SingleFailure& failure) const;
    void judge(TriedFailure& tried, const FailureOutcome& outcome) const;
    // Whether some drive that a hand cuts or asks as drawn is left with neither, or with neither and the
    // failure is told of one drive: the names of the drives; empty: none.
    std::vector<std::string> left_running(const CircuitChange& change) const;
    // Whether it takes a hand away that cuts or asks as drawn.
    bool takes_a_stop(const FailureOutcome& outcome) const;

  private:
    using Names = std::vector<std::string>;
    std::string name(PartId part) const { return std::string(circuit_.harness->part(part).name); }
    const FollowedState& before(std::size_t place) const { return follower_.as_drawn(modes_[place]); }
    bool is_under_way(std::size_t place) const;
    bool is_struck(std::size_t place) const { return !struck_from_[modes_[place].index()].empty(); }
    // Whether it was so already, with the change, where nobody had struck the stop.
    template <class Was>
    bool before_it_was_struck(std::size_t place, const CircuitChange& change, const Was& was) const {
        for (const ModeId other : struck_from_[modes_[place].index()])
            if (was(follower_.follow(other, {}, change))) return true;
        return false;
    }
    const std::vector<HandStop>& hands(ModeId mode) const { return hands_[mode.index()]; }
    DriveStops stops_of(const DriveStops& as_drawn, const CircuitChange& failure) const;
    Names names_with(const std::vector<DriveStops>& stops, StopEffect effect) const;
    Names names_lost(const FailureOutcome& outcome, StopEffect was, std::optional<StopEffect> now) const;

    // Each fills in `tried` where its heading is the one.
    bool judge_unstoppable(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_brakes(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_let_go(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_holding(TriedFailure& tried) const;
    bool judge_asks(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_starts(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_shorts(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_closing(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_voltages(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_returned(TriedFailure& tried) const;
    bool judge_hidden(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_lost(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_charging(TriedFailure& tried, const FailureOutcome& outcome) const;
    bool judge_cell(TriedFailure& tried) const;
    // As it stands when a short circuit is over: with what guards the pack open. Who that is, where one alone
    // is enough.
    FollowedState follow_through(ModeId mode, const CircuitChange& change) const;
    std::vector<EdgeId> guards_of(ModeId mode, const CircuitChange& change) const;
    bool shows(const FollowedState& was, const FollowedState& now) const;
    std::string test_of(const SingleFailure& failure) const;
    std::string stopped_by(const std::vector<DriveStops>& stops) const;
    // Those that do it in every one of them.
    Names in_all(const std::vector<DriveStops>& stops, StopEffect effect) const;

    const Circuit& circuit_;
    const Facts& facts_;
    const Follower& follower_;
    StopJudge judge_;
    std::vector<ModeId> modes_, contradictory_;
    std::vector<std::vector<ModeId>> struck_from_;  // by ModeId
    std::vector<std::vector<HandStop>> hands_;      // by ModeId
    std::vector<DriveStops> as_drawn_;              // modes under way with the same contacts once
    std::vector<std::vector<ModeId>> alike_;        // by as_drawn_: the modes it stands for
};

}  // namespace loomward
