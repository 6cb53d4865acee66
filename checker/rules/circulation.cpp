#include "checker/rules/circulation.hpp"

#include <algorithm>
#include <limits>
#include <set>

#include "checker/circuit/flow.hpp"
#include "checker/rules/let_through.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

// Stands for any current: far above all that flows in a harness, and exact in sums.
constexpr double any_A = 1048576 * 1024.0;

double number(double current_A) {
    return std::min(current_A, any_A);
}

// Every edge of the circuit with what it lets through, and what goes round through one of them.
class Circulation {
  public:
    Circulation(const RuleInput& input, const std::vector<bool>& open, bool draws) : circuit_(input.circuit) {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            FlowEdge flow{edge.from.value, edge.to.value, 0, 0};
            if (open[i]) {
            } else if (edge.role == EdgeRole::emf) {
                flow.capacity = flow.back = any_A;
            } else if (edge.role == EdgeRole::regeneration) {
                const auto returns = input.facts.quantity(edge.part, "regen"_attr);
                flow.capacity = returns ? number(returns->hi) : any_A;
            } else if (is_source(edge.role) || one_way(edge.role)) {
                flow.capacity = number(lets_through_A(input, edge));
            } else if (is_conductor(edge.role)) {
                flow.capacity = flow.back = number(lets_through_A(input, edge));
            } else if (uses(edge.role)) {
                flow.capacity = draws ? number(rated_draw_A(input, edge)) : any_A;
            }
            edges_.push_back(flow);
        }
    }
    // From its `from` to its `to`, and back; endless where conductors run side by side.
    std::pair<double, double> ways_A(EdgeId id) const {
        std::vector<FlowEdge> others = edges_;
        FlowEdge& own = others[id.index()];
        own.capacity = own.back = 0;
        const FlowEdge& edge = edges_[id.index()];
        FlowNetwork flows(static_cast<std::uint32_t>(circuit_.node_count()), others);
        const double there_A = std::min(edge.capacity, flows.between(edge.b, edge.a).capacity);
        const double back_A = std::min(edge.backwards(), flows.between(edge.a, edge.b).capacity);
        const auto shown = [](double amps) { return amps >= any_A / 2 ? endless_A : amps; };
        return {shown(there_A), shown(back_A)};
    }

  private:
    const Circuit& circuit_;
    std::vector<FlowEdge> edges_;
};

}  // namespace

double passes_at_most_A(const RuleInput& input, const std::vector<bool>& open, bool draws,
                        const std::vector<NodeId>& point) {
    const Circulation round(input, open, draws);
    const std::set<NodeId> inside(point.begin(), point.end());
    double sum_A = 0, most_A = 0, in_A = 0, out_A = 0;
    for (const NodeId node : inside)
        for (const Incidence& next : input.circuit.at(node)) {
            if (inside.contains(next.other)) continue;
            const auto [there_A, back_A] = round.ways_A(next.edge);
            const bool enters = input.circuit.edge(next.edge).to == node;
            in_A += enters ? there_A : back_A;
            out_A += enters ? back_A : there_A;
            const double each_A = std::max(there_A, back_A);
            sum_A += each_A;
            most_A = std::max(most_A, each_A);
        }
    return std::min({in_A, out_A, std::max(most_A, sum_A / 2)});
}

double carries_at_most_A(const RuleInput& input, const std::vector<bool>& open, bool draws,
                         EdgeId conductor) {
    const auto [there_A, back_A] = Circulation(input, open, draws).ways_A(conductor);
    return std::max(there_A, back_A);
}

}  // namespace loomward::rules
