#include "checker/rules/consumers.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "checker/circuit/packs_in_series.hpp"
#include "checker/circuit/pole_reach.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/largest.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {

using namespace literals;

namespace {

double of_pins_A(const RuleInput& input, PartId device) {
    double all_A = 0;
    for (const EdgeId id : input.circuit.edges_of_part[device.index()])
        if (const Edge& edge = input.circuit.edge(id); edge.role == EdgeRole::supply_pin)
            if (const auto draws = pin_current(input.harness, edge.from_terminal)) all_A += draws->hi;
    return all_A;
}

// The highest voltage of what feeds a resistor between a plus and a minus, V; 0: nothing known does. Of packs
// on top of one another their sum, of outputs and chargers what they give.
class AcrossResistors {
  public:
    explicit AcrossResistors(const RuleInput& input)
        : input_(input), packs_(input.circuit), pieces_(pieces(input.circuit, [&](EdgeId id) {
              const EdgeRole role = input.circuit.edge(id).role;
              return is_conductor(role) || is_driver(role);
          })) {}

    double most_A(const Edge& resistor) {
        const auto ohm = input_.facts.quantity(resistor.part, "(resistance)"_attr);
        if (!ohm || ohm->lo <= 0) return 0;
        return std::max(feeds_V(resistor.from, resistor.to), feeds_V(resistor.to, resistor.from)) / ohm->lo;
    }

  private:
    double feeds_V(NodeId plus, NodeId minus) {
        const Circuit& circuit = input_.circuit;
        double string_V = 0;
        for (const EdgeId id : packs_.between(plus, minus, pieces_))
            if (const auto section = pack_section(circuit, input_.facts, circuit.edge(id), Corner::run_full))
                string_V += section->voltage_V;
        double most_V = string_V;
        for (const Edge& edge : circuit.edges)
            if (is_source(edge.role) && edge.role != EdgeRole::emf &&
                pieces_.same(edge.to.index(), plus.index()) && pieces_.same(edge.from.index(), minus.index()))
                if (const auto output = output_of(input_.facts, edge))
                    most_V = std::max(most_V, output->voltage_V);
        return most_V;
    }

    const RuleInput& input_;
    PacksInSeries packs_;
    DisjointSets pieces_;
};

double rated_A(const RuleInput& input, PartId part) {
    double most_A = 0;
    const auto volts_V = input.facts.quantity(part, "(rated-voltage)"_attr);
    if (const auto watts = input.facts.quantity(part, "(power)"_attr); watts && volts_V && volts_V->lo > 0)
        most_A = std::max(most_A, watts->hi / volts_V->lo);
    if (const auto current = input.facts.quantity(part, "(current)"_attr))
        most_A = std::max(most_A, current->hi);
    if (const auto ohms = input.facts.quantity(part, "(resistance)"_attr); ohms && volts_V && ohms->lo > 0)
        most_A = std::max(most_A, volts_V->hi / ohms->lo);
    return most_A;
}

}  // namespace

std::vector<Consumer> consumers(const RuleInput& input) {
    const Circuit& circuit = input.circuit;
    std::optional<PoleReach> poles;  // made where there are resistors
    std::optional<AcrossResistors> across;
    std::vector<Consumer> found;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const EdgeId id(i);
        if (uses_power(edge.role)) {
            found.push_back(
                {id, edge.from, edge.to, std::max(largest_A(input.points, id), rated_A(input, edge.part))});
        } else if (edge.role == EdgeRole::supply_pin) {
            const double draws_A = std::max(largest_A(input.points, id), of_pins_A(input, edge.part));
            if (draws_A >= consumer_A) found.push_back({id, edge.from, edge.to, draws_A});
        } else if (edge.role == EdgeRole::resistor) {
            if (!poles) poles.emplace(circuit), across.emplace(input);
            if (!poles->lies_across(edge)) continue;
            const double draws_A = std::max(largest_A(input.points, id), across->most_A(edge));
            if (draws_A < consumer_A) continue;
            const bool turned = poles->only_plus(edge.to);
            found.push_back({id, turned ? edge.to : edge.from, turned ? edge.from : edge.to, draws_A});
        }
    }
    return found;
}

}  // namespace loomward::rules
