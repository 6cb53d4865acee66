#include "checker/rules/fed_capacitors.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "checker/currents/witness.hpp"

namespace loomward {

namespace {

const CapacitorState* state_of(const ModeEntry& entry, EdgeId edge) {
    const auto found = std::lower_bound(
        entry.capacitors.begin(), entry.capacitors.end(), edge,
        [](const CapacitorState& each, EdgeId wanted) { return each.edge.index() < wanted.index(); });
    return found != entry.capacitors.end() && found->edge == edge ? &*found : nullptr;
}

}  // namespace

Fed fed_through(const RuleInput& input, const ModeEntry& entry, const ClosingContact& contact) {
    const Edge& start = input.circuit.edge(contact.edge);
    const bool forward = contact.current_A >= 0;
    Fed fed;
    for (const int sign : {1, -1}) {
        std::vector<NodeId> queue{(sign > 0) == forward ? start.to : start.from};
        std::set<NodeId> seen{queue.front(), start.from, start.to};
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const Incidence& next : input.circuit.at(queue[head])) {
                const Edge& edge = input.circuit.edge(next.edge);
                const double out_A =
                    (edge.from == queue[head] ? 1 : -1) * sign * entry.moment.edge_A[next.edge.index()];
                if (out_A < 1e-3 * std::abs(contact.current_A)) continue;
                if (edge.role == EdgeRole::capacitor) {
                    const CapacitorState* state = state_of(entry, next.edge);
                    const double into_A = entry.moment.edge_A[next.edge.index()];
                    if (state && lacks_V(*state) * into_A > 0) fed.capacitors.push_back(state);
                } else if ((is_conductor(edge.role) || edge.role == EdgeRole::diode ||
                            edge.role == EdgeRole::resistor) &&
                           seen.insert(next.other).second) {
                    queue.push_back(next.other);
                }
            }
        if (!fed.capacitors.empty()) break;
    }
    double most_J = 0;
    for (const CapacitorState* each : fed.capacitors) {
        const double joule = each->capacitance_F * lacks_V(*each) * lacks_V(*each) / 2;
        fed.energy_J += joule;
        if (joule >= most_J) {
            most_J = joule;
            fed.main = each;
        }
    }
    return fed;
}

bool closes_through_resistor(const RuleInput& input, const ModeEntry& entry, EdgeId contact) {
    const std::vector<EdgeId> way = trace_current(input.circuit, entry.moment, contact).edges;
    return std::any_of(way.begin(), way.end(), [&](EdgeId id) {
        return input.circuit.edge(id).role == EdgeRole::resistor &&
               std::abs(entry.moment.edge_A[id.index()]) >=
                   0.99 * std::abs(entry.moment.edge_A[contact.index()]);
    });
}

}  // namespace loomward
