#include "checker/currents/dead_outputs.hpp"

#include <algorithm>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

namespace {

class LiveParts {
  public:
    LiveParts(const Circuit& circuit, const Mode& mode)
        : circuit_(circuit),
          mode_(mode),
          joined_(pieces(circuit,
                         [&](EdgeId id) {
                             const Edge& edge = circuit.edge(id);
                             const bool leads = conducts(edge.role) || is_driver(edge.role) ||
                                                edge.role == EdgeRole::resistor;
                             return leads && is_closed(circuit, mode, edge);
                         })),
          live_(circuit.node_count(), false) {
        // What gives only while it is fed itself makes more live, and so on.
        for (bool changed = true; changed;) {
            changed = false;
            for (const Edge& edge : circuit.edges)
                if (is_source(edge.role) && !live_[joined_.find(edge.to.index())] && gives(edge))
                    changed = live_[joined_.find(edge.to.index())] = true;
        }
    }

    // Whether something feeds a part that has to be fed.
    bool fed(PartId part) {
        bool asks = false;
        for (const EdgeId id : circuit_.edges_of_part[part.index()]) {
            const Edge& edge = circuit_.edge(id);
            if (!uses(edge.role) || edge.role == EdgeRole::coil) continue;
            if (live_[joined_.find(edge.from.index())]) return true;
            asks = true;
        }
        return !asks;
    }

  private:
    bool gives(const Edge& edge) {
        const State& state = mode_.states[edge.part.index()];
        switch (edge.role) {
            case EdgeRole::emf:
                return true;
            case EdgeRole::charger:
            case EdgeRole::regeneration:
                return state.profile >= 0 &&
                       mode_.profiles[static_cast<std::size_t>(state.profile)].flow != Flow::draws;
            default:
                return state.posture != Posture::off && fed(edge.part);
        }
    }

    const Circuit& circuit_;
    const Mode& mode_;
    DisjointSets joined_;
    std::vector<bool> live_;  // by piece: some source's plus lies in it
};

}  // namespace

std::vector<bool> dead_outputs(const Circuit& circuit, const Mode& mode) {
    if (std::none_of(circuit.edges.begin(), circuit.edges.end(),
                     [](const Edge& edge) { return edge.role == EdgeRole::output_pin; }))
        return {};
    LiveParts live(circuit, mode);
    std::vector<bool> dead(circuit.edges.size(), false);
    for (std::size_t i = 0; i < dead.size(); ++i)
        if (const Edge& edge = circuit.edges[i]; edge.role == EdgeRole::output_pin)
            dead[i] = !live.fed(edge.part);
    return dead;
}

}  // namespace loomward
