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

// What hangs together in the mode with the contacts of one part open, and what gives there.
class Without {
  public:
    Without(const RuleInput& input, const Mode& mode, PartId opened)
        : circuit_(input.circuit), mode_(mode), joined_(pieces(circuit_, [&](EdgeId id) {
              const Edge& edge = circuit_.edge(id);
              const bool driver = edge.role == EdgeRole::low_side || edge.role == EdgeRole::high_side;
              return (driver || is_conductor(edge.role)) && !(opened && edge.part == opened) &&
                     (driver || is_closed(circuit_, mode, edge));
          })) {
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (is_source(circuit_.edges[i].role) && gives_by_itself(circuit_.edges[i]))
                giving_.push_back(circuit_.edges[i]);
        // A converter gives where something gives to it.
        for (bool more = true; more;) {
            more = false;
            for (const Edge& taking : circuit_.edges) {
                if (taking.role != EdgeRole::converter_input || !feeds(taking)) continue;
                for (const EdgeId id : circuit_.edges_of_part[taking.part.index()]) {
                    const Edge& output = circuit_.edge(id);
                    if (output.role != EdgeRole::converter_output || feeds(output)) continue;
                    giving_.push_back(output);
                    more = true;
                }
            }
        }
    }
    bool feeds(const Edge& user) {
        return std::any_of(giving_.begin(), giving_.end(), [&](const Edge& source) {
            const auto same = [&](NodeId a, NodeId b) { return joined_.same(a.index(), b.index()); };
            return (same(source.to, user.from) && same(source.from, user.to)) ||
                   (same(source.to, user.to) && same(source.from, user.from));
        });
    }

  private:
    // A charger only where the mode says that it delivers; pins as their device.
    bool gives_by_itself(const Edge& source) const {
        if (source.role == EdgeRole::converter_output) return false;
        if (source.role != EdgeRole::charger) return true;
        const std::int32_t profile = mode_.states[source.part.index()].profile;
        return profile >= 0 && mode_.profiles[static_cast<std::size_t>(profile)].flow == Flow::delivers;
    }

    const Circuit& circuit_;
    const Mode& mode_;
    DisjointSets joined_;
    std::vector<Edge> giving_;
};

// Whether nothing feeds the coil of the contact with the other part open and all else as in the mode.
bool is_pulled_through(const RuleInput& input, ModeId mode, const Edge& contact, PartId other) {
    const Mode& state = input.harness.modes[mode.index()];
    for (const EdgeId id : input.circuit.edges_of_part[contact.part.index()])
        if (input.circuit.edge(id).role == EdgeRole::coil)
            return Without(input, state, PartId()).feeds(input.circuit.edge(id)) &&
                   !Without(input, state, other).feeds(input.circuit.edge(id));
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
