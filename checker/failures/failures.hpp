// What each single failure does: every one of every part is tried, contacts follow their coils, and what then
// can still be stopped by a hand is found out. By consequence, most dangerous first.
//
// The order and the words of the levels lean on ISO 12100, ISO 13849-1, ISO 14118 and IEC 60204-1 (memory).
// None of their categories or performance levels is judged: that needs figures of reliability that no harness
// has.
#pragma once
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "checker/failures/single_failures.hpp"
#include "checker/results.hpp"

namespace loomward {

enum class FailureHeading : std::uint8_t {
    unstoppable,      // cannot be stopped or held
    only_asks,        // what took the power off only asks electronics now
    by_itself,        // starts, or closes a contactor, with nobody asking
    shorts_pack,      // both poles of a pack, or the ends of a chain of packs
    breaks_behind,    // more voltage than what hangs behind stands
    useless_guard,    // a fuse bridged: what burns then
    not_seen,         // takes a stop, a precharge, a bleed or a pack away, and no mode shows it
    stops_under_way,  // drive, brake, lamps go
    forgotten,        // key, charge lead
    question,         // for a maker
    at_rest,          // a function is lost at rest; seen at once
    nothing,          // no mode shows any difference
};
std::string_view heading_words(FailureHeading heading);

struct TriedFailure {
    SingleFailure failure;
    FailureHeading heading = FailureHeading::nothing;
    Severity level = Severity::note;
    std::string then;              // "S1 S2 only ask U1"
    std::string can_do;            // "S6 cuts it off"
    std::string test;              // of what is not seen: what shows it; may be empty
    bool hidden = false;           // no mode of the file shows a difference to who works with it
    std::vector<ModeId> in_modes;  // in which `then` holds
    struct Effect {
        ModeId mode;
        std::string text;  // "U1 live instead of dead, E1 off"
    };
    std::vector<Effect> effects;  // modes that differ
};

// Failures with the same consequence.
struct FailureLine {
    FailureHeading heading{};
    Severity level{};
    std::vector<std::size_t> tried;  // into FailureReport::tried; of a pair empty
    std::string who;                 // "F1 W2..W4 open or break"
    std::string then, can_do, test;
    bool takes_stop = false;  // what a hand could do as drawn it cannot do now
    std::size_t pairs = 0;    // it stands for: of one that is not seen and another
    bool as_drawn = false;    // with nothing failed
};

struct FailureReport {
    std::vector<TriedFailure> tried;    // in the order of the source
    std::vector<FailureLine> lines;     // by heading, then level, then place; at_rest and nothing left out
    std::vector<std::string> as_drawn;  // what stops each drive with nothing failed
    std::vector<std::string> taken;     // what was taken for what the language has no word for
    std::vector<std::string> left_out;  // modes that contradict their wiring
    std::size_t drives = 0;             // 0: none was recognised, so nothing can be left running
    std::size_t modes = 0;
    std::size_t outcomes = 0;  // different ones
    std::size_t states = 0;    // followed
    std::size_t pairs = 0;     // of one that is not seen and another

    std::size_t count(FailureHeading heading) const;
};

struct FailureOptions {
    std::string_view only_mode;  // empty: every mode
    bool pairs = true;
    bool figures = true;  // currents of what is left on
};

class FaultStudy;

// `study`: what burns behind a bridged fuse is asked there; nullptr: not told.
FailureReport find_failures(const Results& results, const FaultStudy* study,
                            const FailureOptions& options = {});

// What leaves nothing that stops or holds, and what starts by itself, as errors: what `check` says of it.
struct UnstoppableCount {
    std::size_t unstoppable = 0, tried = 0;  // single failures
    bool left_out = false;                   // nobody looked: that would take long
    std::size_t as_drawn = 0;                // with nothing failed
    std::size_t pairs = 0;                   // of one that is not seen and another
    std::size_t starting = 0;                // single failures that start a drive or let a brake go
    bool any() const { return unstoppable + as_drawn + pairs + starting > 0; }
};
// Left out where it takes more than `most_states` states.
UnstoppableCount count_unstoppable(const Results& results, std::size_t most_states = 20000);

// Parts whose coil, followed without any failure, does something else than the mode says.
std::vector<PartId> follow_differs(const Circuit& circuit, const Follower& follower, ModeId mode);

}  // namespace loomward
