// What an edge of the circuit may carry for long, whatever it is, with the words to say so.
#pragma once
#include <optional>
#include <string>

#include "checker/parts/ratings.hpp"
#include "checker/rules/rule.hpp"

namespace loomward {

struct StandingLimit {
    double may_A = 0;
    std::string name;     // "ampacity of wire W1", "rating of switch S1"
    std::string working;  // "30.7 A = 33.6 A (2.5 mm2, 90 degC) x ..."; "30 A (rated)"
    PartId part;          // whichever it is
    WireId wire;
    Span where;
};
// At the hottest ambient of any mode. nullopt: it has no limit of that kind, or it is not known.
std::optional<StandingLimit> standing_limit(const RuleInput& input, const Edge& edge, Direction direction);

}  // namespace loomward
