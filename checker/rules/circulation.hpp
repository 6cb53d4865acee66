// The most that can pass a point for long, wherever conductors run: a bound by Kirchhoff's laws, for those
// points of which the tree of conductors says more than can be (packs side by side, loops).
#pragma once
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// What can come in over all conductors that meet there or what can go out, if that is less, or half of the
// sum of both, each conductor with the largest current that can go round through it: fuses and breakers let
// their rated current through, sources that limit themselves what they give, packs any current. `draws`:
// loads draw no more than they are rated for, else any current. `open` by EdgeId. A; infinity where
// conductors run side by side.
double passes_at_most_A(const RuleInput& input, const std::vector<bool>& open, bool draws,
                        const std::vector<NodeId>& point);
// The same for one conductor.
double carries_at_most_A(const RuleInput& input, const std::vector<bool>& open, bool draws, EdgeId conductor);

}  // namespace loomward::rules
