#include "checker/circuit/bar_pairs.hpp"

#include "checker/circuit/bars.hpp"

namespace loomward {

std::vector<BarPair> bar_pairs(const Circuit& circuit, const Touching& touching) {
    const std::vector<bool> bar = bars(circuit);
    const Runs& runs = touching.runs();
    std::vector<BarPair> pairs;
    for (const Touch& touch : touching.all()) {
        // A touch stands with the way out first, those of one node side by side.
        if (touch.same_supply || !bar[touch.a.index()] || !bar[touch.b.index()]) continue;
        // Bar against bar: not one of them against a lead of the other, somewhere along it.
        const bool beside = touch.place == Touch::Place::run && !touch.other_wire;
        if (!beside && touch.place != Touch::Place::location) continue;
        if (!runs.serve_the_same(touch.a, touch.b)) continue;
        if (pairs.empty() || pairs.back().plus != touch.a)
            pairs.push_back({touch.a, touch.b});
        else if (runs.distance_m(touch.b) < runs.distance_m(pairs.back().minus))
            pairs.back().minus = touch.b;
    }
    return pairs;
}

}  // namespace loomward
