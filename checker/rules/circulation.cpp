#include "checker/rules/circulation.hpp"

#include <algorithm>
#include <limits>
#include <set>

#include "checker/circuit/flow.hpp"
#include "checker/rules/let_through.hpp"

namespace loomward::rules {
namespace {

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
    double through_A(EdgeId id) const {
        std::vector<FlowEdge> others = edges_;
        FlowEdge& own = others[id.index()];
        own.capacity = own.back = 0;
        const FlowEdge& edge = edges_[id.index()];
        FlowNetwork flows(static_cast<std::uint32_t>(circuit_.node_count()), others);
        const double there_A = std::min(edge.capacity, flows.between(edge.b, edge.a).capacity);
        const double back_A = std::min(edge.backwards(), flows.between(edge.a, edge.b).capacity);
        const double most_A = std::max(there_A, back_A);
        return most_A >= any_A / 2 ? endless_A : most_A;
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
    double sum_A = 0, most_A = 0;
    for (const NodeId node : inside)
        for (const Incidence& next : input.circuit.at(node)) {
            if (inside.contains(next.other)) continue;
            const double each_A = round.through_A(next.edge);
            if (each_A == endless_A) return endless_A;
            sum_A += each_A;
            most_A = std::max(most_A, each_A);
        }
    return std::max(most_A, sum_A / 2);
}

double carries_at_most_A(const RuleInput& input, const std::vector<bool>& open, bool draws,
                         EdgeId conductor) {
    return Circulation(input, open, draws).through_A(conductor);
}

}  // namespace loomward::rules
