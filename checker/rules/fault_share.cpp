#include "checker/rules/fault_share.hpp"

#include <algorithm>
#include <cmath>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules {

FaultShare largest_share(const RuleInput& input, std::vector<std::uint32_t> outcomes) {
    const FaultSurvey& survey = input.faults.survey();
    std::stable_sort(outcomes.begin(), outcomes.end(), [&](std::uint32_t a, std::uint32_t b) {
        return survey.outcomes[a].prospective_A > survey.outcomes[b].prospective_A;
    });
    FaultShare most;
    for (const std::uint32_t each : outcomes) {
        const FaultOutcome& outcome = survey.outcomes[each];
        if (outcome.prospective_A <= most.current_A * 1.0001)
            break;  // a device carries no more than all of it
        const auto story = input.faults.tell(survey.places[outcome.place], outcome.corner, outcome.position);
        if (!story) continue;
        double through_A = 0;
        for (const FaultStress& stress : story->stress)
            if (stress.edge == outcome.first) through_A = std::abs(stress.first_A);
        if (through_A > most.current_A * 1.0001) most = {each, through_A, {}};
    }
    if (most.outcome == FaultSurvey::none) return most;
    const FaultOutcome& outcome = survey.outcomes[most.outcome];
    const std::string whole = amps(outcome.prospective_A), through = amps(most.current_A);
    most.text = whole == through
                    ? whole
                    : whole + ", of which " + through + " through " +
                          std::string(input.harness.part(input.circuit.edge(outcome.first).part).name);
    return most;
}

}  // namespace loomward::rules
