#include "checker/rules/closing_order.hpp"

#include <algorithm>
#include <cstdlib>

namespace loomward {

namespace {

bool is_closed_by_hand(const RuleInput& input, const Edge& edge) {
    const Kind kind = input.harness.part(edge.part).kind;
    return kind == Kind::switch_ || kind == Kind::selector || kind == Kind::breaker;
}

bool is_fed(EdgeRole role) {
    return uses(role) || role == EdgeRole::capacitor;
}

}  // namespace

bool closes_last(const RuleInput& input, const CurrentPath& path, EdgeId contact, EdgeId other) {
    const Edge& one = input.circuit.edge(contact);
    const Edge& another = input.circuit.edge(other);
    if (one.role == EdgeRole::contact) return another.role != EdgeRole::contact;
    if (!is_closed_by_hand(input, one) || !is_closed_by_hand(input, another)) return true;
    const auto place = [&](auto&& is_it) {
        return std::find_if(path.edges.begin(), path.edges.end(), is_it) - path.edges.begin();
    };
    const auto fed = place([&](EdgeId id) { return is_fed(input.circuit.edge(id).role); });
    const auto mine = place([&](EdgeId id) { return id == contact; });
    const auto its = place([&](EdgeId id) { return id == other; });
    return std::abs(its - fed) < std::abs(mine - fed);
}

}  // namespace loomward
