#include "checker/rules/let_through.hpp"

#include "checker/parts/capacities.hpp"

namespace loomward::rules {

using namespace literals;

double rated_draw_A(const RuleInput& input, const Edge& edge) {
    const Facts& facts = input.facts;
    if (edge.role == EdgeRole::controller) {
        const auto setting = supply_limit(facts, edge.part);
        return setting ? setting->current_A : endless_A;
    }
    if (edge.role == EdgeRole::converter_input) {
        const auto volts_V = facts.quantity(edge.part, "output"_attr, 0);
        const auto amps_A = facts.quantity(edge.part, "output"_attr, 1);
        const auto input_V = facts.quantity(edge.part, "input"_attr);
        const auto share = facts.quantity(edge.part, "efficiency"_attr);
        if (!volts_V || !amps_A || !input_V || !share || input_V->lo <= 0 || share->lo <= 0) return endless_A;
        return volts_V->hi * amps_A->hi / (share->lo / 100) / input_V->lo;
    }
    if (edge.role == EdgeRole::supply_pin) {
        const auto draws = pin_current(facts.harness(), edge.from_terminal);
        return draws ? draws->hi : endless_A;
    }
    if (edge.role == EdgeRole::coil) {
        const auto draws = facts.quantity(edge.part, "coil"_attr, 1);
        return draws ? draws->hi : endless_A;
    }
    const auto rated = facts.quantity(edge.part, "(rated-voltage)"_attr);
    if (const auto current = facts.quantity(edge.part, "(current)"_attr)) return current->hi;
    if (!rated || rated->lo <= 0) return endless_A;
    if (const auto power = facts.quantity(edge.part, "(power)"_attr)) return power->hi / rated->lo;
    if (const auto ohm = facts.quantity(edge.part, "(resistance)"_attr); ohm && ohm->lo > 0)
        return rated->hi / ohm->lo;
    return endless_A;
}

double lets_through_A(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::converter_output || edge.role == EdgeRole::charger) {
        const auto limit = input.facts.quantity(edge.part, output_attribute(input.harness, edge.part), 1);
        return limit ? limit->hi : endless_A;
    }
    if (edge.role == EdgeRole::protector) return trip_current_A(input.facts, edge.part);
    if (edge.role != EdgeRole::fuse && edge.role != EdgeRole::breaker) return endless_A;
    const auto rated = input.facts.quantity(edge.part, "(rated-current)"_attr);
    return rated ? rated->hi : endless_A;
}

}  // namespace loomward::rules
