#include "checker/rules/standing_limit.hpp"

#include "checker/rules/rule_support.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

std::optional<StandingLimit> standing_limit(const RuleInput& input, const Edge& edge, Direction direction) {
    if (edge.wire) {
        const Wire& wire = input.harness.wire(edge.wire);
        if (!wire.area.is_known()) return std::nullopt;
        const Ampacity may = standing_ampacity(input.facts, edge.wire, input.wires[edge.wire.index()]);
        return StandingLimit{may.current_A,
                             "ampacity of " + named(input.harness, edge.wire),
                             amps(may.current_A) + " = " + may.working,
                             {},
                             edge.wire,
                             wire.where};
    }
    if (!edge.part) return std::nullopt;
    const auto may = current_rating(input.facts, edge, input.facts.ambient(edge.part), direction);
    if (!may) return std::nullopt;
    return StandingLimit{may->may_A,   may->name + " of " + rated_thing(input.harness, edge),
                         may->working, edge.part,
                         {},           input.harness.part(edge.part).where};
}

}  // namespace loomward
