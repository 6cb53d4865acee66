#include "checker/faults/fault_way.hpp"
#include "checker/parts/capacities.hpp"

#include <algorithm>

namespace loomward {

namespace {

// The edges that carry something, by node.
class Carriers {
  public:
    Carriers(const Circuit& circuit, const FaultStory& story, Moment moment)
        : circuit_(circuit), story_(story), moment_(moment) {
        for (std::uint32_t i = 0; i < story.stress.size(); ++i) {
            const Edge& edge = circuit.edge(story.stress[i].edge);
            at_.emplace_back(edge.from, i);
            at_.emplace_back(edge.to, i);
        }
        std::sort(at_.begin(), at_.end());
        used_.assign(story.stress.size(), false);
    }
    // Along the strongest current from a node, with it (sign +1) or to where it comes from (-1), to a source.
    std::vector<EdgeId> follow(NodeId node, int sign, EdgeId& source) {
        std::vector<EdgeId> way;
        for (;;) {
            std::uint32_t strongest = 0;
            double most_A = 1e-6;
            for (auto at = std::lower_bound(at_.begin(), at_.end(), std::pair(node, 0U));
                 at != at_.end() && at->first == node; ++at) {
                const FaultStress& stress = story_.stress[at->second];
                const Edge& edge = circuit_.edge(stress.edge);
                const double out_A = (edge.from == node ? 1 : -1) * sign * amps(stress);
                if (used_[at->second] || out_A <= most_A) continue;
                most_A = out_A;
                strongest = at->second + 1;
            }
            if (strongest == 0) return way;
            const EdgeId id = story_.stress[strongest - 1].edge;
            const Edge& edge = circuit_.edge(id);
            if (is_source(edge.role) || edge.role == EdgeRole::capacitor) {
                source = id;
                return way;
            }
            used_[strongest - 1] = true;
            way.push_back(id);
            node = edge.from == node ? edge.to : edge.from;
        }
    }
    double into(NodeId node) const {
        double sum_A = 0;
        for (auto at = std::lower_bound(at_.begin(), at_.end(), std::pair(node, 0U));
             at != at_.end() && at->first == node; ++at) {
            const FaultStress& stress = story_.stress[at->second];
            sum_A += (circuit_.edge(stress.edge).to == node ? 1 : -1) * amps(stress);
        }
        return sum_A;
    }

  private:
    double amps(const FaultStress& stress) const {
        return moment_ == Moment::first ? stress.first_A : stress.last_A;
    }

    const Circuit& circuit_;
    const FaultStory& story_;
    Moment moment_;
    std::vector<std::pair<NodeId, std::uint32_t>> at_;
    std::vector<bool> used_;
};

}  // namespace

FaultWay find_way(const Circuit& circuit, const FaultPlace& place, const FaultStory& story, Moment moment) {
    Carriers carriers(circuit, story, moment);
    FaultWay way;
    const bool into_a = carriers.into(place.a) >= 0;
    way.hot = into_a ? place.a : place.b;
    way.cold = into_a ? place.b : place.a;
    way.out = carriers.follow(way.hot, -1, way.source);
    EdgeId drain;
    way.back = carriers.follow(way.cold, 1, drain);
    return way;
}

}  // namespace loomward
