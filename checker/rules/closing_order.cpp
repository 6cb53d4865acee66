#include "checker/rules/closing_order.hpp"

#include <algorithm>
#include <cstdlib>

#include "checker/parts/elements.hpp"

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

// Whether the coil of the contact lets go once the other part is open and all else as in the mode.
bool ClosingOrder::is_pulled_through(ModeId mode, PartId contact, PartId other) {
    if (!follower_) follower_.emplace(input_.circuit, input_.facts);
    const auto& coils = follower_->coils();
    const auto coil = std::find(coils.begin(), coils.end(), contact);
    if (coil == coils.end()) return false;
    CircuitChange opened;
    for (const EdgeId id : input_.circuit.edges_of_part[other.index()])
        if (opened_by_hand(input_.circuit.edge(id).role)) opened.forced.push_back({id, false});
    const auto place = static_cast<std::size_t>(coil - coils.begin());
    return follower_->as_drawn(mode).pulled[place] != 0 &&
           follower_->follow(mode, opened, {}).pulled[place] == 0;
}

bool ClosingOrder::closes_last(ModeId mode, const CurrentPath& path, EdgeId contact, EdgeId other) {
    const Edge& one = input_.circuit.edge(contact);
    const Edge& another = input_.circuit.edge(other);
    if (one.role == EdgeRole::contact) return another.role != EdgeRole::contact;
    if (!is_closed_by_hand(input_, one) && is_closed_by_hand(input_, another) &&
        is_pulled_through(mode, one.part, another.part))
        return false;
    if (!is_closed_by_hand(input_, one) || !is_closed_by_hand(input_, another)) return true;
    const auto place = [&](auto&& is_it) {
        return std::find_if(path.edges.begin(), path.edges.end(), is_it) - path.edges.begin();
    };
    const auto fed = place([&](EdgeId id) { return is_fed(input_.circuit.edge(id).role); });
    const auto mine = place([&](EdgeId id) { return id == contact; });
    const auto its = place([&](EdgeId id) { return id == other; });
    return std::abs(its - fed) < std::abs(mine - fed);
}

bool ClosingOrder::closes_last_as_usual(ModeId mode, const CurrentPath& path, EdgeId contact, EdgeId other) {
    const Edge& one = input_.circuit.edge(contact);
    const bool coil_after_hand = one.role != EdgeRole::contact && !is_closed_by_hand(input_, one) &&
                                 is_closed_by_hand(input_, input_.circuit.edge(other));
    return !coil_after_hand && closes_last(mode, path, contact, other);
}

}  // namespace loomward
