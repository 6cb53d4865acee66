// How else a part may stand than a mode says: a knob is turned past a position that nobody named, a relay
// lets go.
#pragma once
#include <string>
#include <vector>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/rules/rule.hpp"

namespace loomward::rules {

// Whether every contact of the part opens one way only: no change-over, no selector.
bool only_closes(const RuleInput& input, PartId part);

// What hangs together over conductors, with the contacts as the mode has them; by NodeId.
DisjointSets closed_in(const RuleInput& input, const Mode& mode);

// Selectors and relays, in order of id.
std::vector<PartId> parts_with_other_ways(const RuleInput& input);

// The other ways in which a part may stand that opens as it closes; none for what only closes.
std::vector<State> other_ways(const RuleInput& input, PartId part, const State& now);

// "selector S2 at mid", "relay K4 energised".
std::string other_way_text(const RuleInput& input, PartId part, const State& other);

}  // namespace loomward::rules
