#include "checker/rules/closing_order.hpp"

#include <algorithm>
#include <cstdlib>

#include "checker/circuit/ways.hpp"
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

// Whether nothing feeds the coil of the contact with the other part open and all else as in the mode.
bool is_pulled_through(const RuleInput& input, ModeId mode, const Edge& contact, PartId other) {
    const Circuit& circuit = input.circuit;
    const Mode& state = input.harness.modes[mode.index()];
    const auto feeds = [&](PartId without, const Edge& coil) {
        DisjointSets joined = pieces(circuit, [&](EdgeId id) {
            const Edge& edge = circuit.edge(id);
            const bool driver = edge.role == EdgeRole::low_side || edge.role == EdgeRole::high_side;
            return (driver || is_conductor(edge.role)) && !(without && edge.part == without) &&
                   (driver || is_closed(circuit, state, edge));
        });
        return std::any_of(circuit.edges.begin(), circuit.edges.end(), [&](const Edge& source) {
            const auto same = [&](NodeId a, NodeId b) { return joined.same(a.index(), b.index()); };
            return is_source(source.role) && ((same(source.to, coil.from) && same(source.from, coil.to)) ||
                                              (same(source.to, coil.to) && same(source.from, coil.from)));
        });
    };
    for (const EdgeId id : circuit.edges_of_part[contact.part.index()])
        if (circuit.edge(id).role == EdgeRole::coil)
            return feeds(PartId(), circuit.edge(id)) && !feeds(other, circuit.edge(id));
    return false;
}

}  // namespace

bool closes_last(const RuleInput& input, ModeId mode, const CurrentPath& path, EdgeId contact, EdgeId other) {
    const Edge& one = input.circuit.edge(contact);
    const Edge& another = input.circuit.edge(other);
    if (one.role == EdgeRole::contact) return another.role != EdgeRole::contact;
    if (!is_closed_by_hand(input, one) && is_closed_by_hand(input, another) &&
        is_pulled_through(input, mode, one, another.part))
        return false;
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
