// What is to be done first: findings in the order of switching on, those of one place together as one cause.
//
// Who reads a check is about to connect something. Each finding stands at the first step that it makes
// dangerous: connecting the pack, then each mode as the file has them. A step with a cause on it is barred,
// and bars the later ones.
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "checker/results.hpp"

namespace loomward {

// How bad what a rule tells of is, worst first.
enum class Danger : std::uint8_t {
    unguarded,      // nothing opens, or what opens cannot break it
    held_on,        // cannot be switched off, or closes onto more than it may
    burns,          // gets too hot before or without anything that opens
    breaks_a_part,  // a part gets what it does not stand
    other,
    works_badly,  // bars no step: works badly or not at all
};
Danger danger_of(std::string_view rule);
// The rules that are ranked by name; others are `burns` by the beginning of their name, or `other`.
std::vector<std::string_view> ranked_rules();

struct SwitchingStep {
    ModeId mode;  // invalid: the pack is connected, everything at rest
};

// Findings about one part, wire or mode; alike ones of many of a kind together.
struct Cause {
    std::optional<std::size_t> step;    // index into `Digest::steps`; absent: bars none
    std::string subject;                // "W57"
    std::vector<std::size_t> findings;  // indices into `Results::findings`, worst first; never empty
    std::vector<std::string> alike;     // the other subjects of which the same is told
};

struct Digest {
    std::vector<SwitchingStep> steps;
    // Of errors and warnings that are certain, not accepted and ask for nothing: by step, then the worst
    // first, then as the file has them; what bars no step last.
    std::vector<Cause> causes;
    std::vector<std::size_t> order;  // every finding once: those of causes first, the others as they stand
    std::vector<ModeId> silent;      // modes of which nothing can be said: they contradict or were not solved
};

// Runs in the number of modes times that of wires and parts.
Digest digest_of(const Results& results);

}  // namespace loomward
