#include "checker/faults/fault_way.hpp"

#include <algorithm>

#include "checker/parts/capacities.hpp"

namespace loomward {

namespace {

// Whatever carries something from one node to another; `at_from` and `at_to` are its edges there.
struct Carrier {
    NodeId from, to;
    double amps = 0;
    EdgeId at_from, at_to;
    bool gives = false;  // a source or a capacitor: the way ends here
};

class Carriers {
  public:
    explicit Carriers(std::vector<Carrier> all) : all_(std::move(all)), used_(all_.size(), false) {
        if (all_.size() > few) sort();
    }
    // Along the strongest current from a node, with it (sign +1) or to where it comes from (-1), to a source.
    // Of equal ones along the one whose edge there comes first.
    std::vector<std::uint32_t> follow(NodeId node, int sign, EdgeId& source) {
        std::vector<std::uint32_t> way;
        for (;;) {
            std::uint32_t strongest = none;
            EdgeId by;
            double most_A = FaultCourse::nothing;
            each_at(node, [&](std::uint32_t i) {
                const Carrier& here = all_[i];
                const double out_A = (here.from == node ? 1 : -1) * sign * here.amps;
                if (used_[i] || !(out_A >= most_A)) return;
                const EdgeId edge = here.from == node ? here.at_from : here.at_to;
                if (out_A == most_A && (strongest == none || !(edge < by))) return;
                most_A = out_A;
                strongest = i;
                by = edge;
            });
            if (strongest == none) return way;
            const Carrier& next = all_[strongest];
            if (next.gives) {
                source = next.at_from;
                return way;
            }
            used_[strongest] = true;
            way.push_back(strongest);
            node = next.from == node ? next.to : next.from;
        }
    }
    double into(NodeId node) const {
        double sum_A = 0;
        each_at(node, [&](std::uint32_t i) { sum_A += (all_[i].to == node ? 1 : -1) * all_[i].amps; });
        return sum_A;
    }

  private:
    static constexpr std::size_t few = 40;  // that are quicker gone through than sorted
    static constexpr std::uint32_t none = 0xFFFFFFFF;
    struct At {
        NodeId node;
        std::uint32_t carrier;
        auto operator<=>(const At&) const = default;
    };
    void sort() {
        for (std::uint32_t i = 0; i < all_.size(); ++i) {
            at_.push_back({all_[i].from, i});
            at_.push_back({all_[i].to, i});
        }
        std::sort(at_.begin(), at_.end());
    }
    template <class Visit>
    void each_at(NodeId node, Visit visit) const {
        if (at_.empty()) {
            const Carrier* const all = all_.data();
            for (std::uint32_t i = 0, count = static_cast<std::uint32_t>(all_.size()); i < count; ++i)
                if (all[i].from == node || all[i].to == node) visit(i);
            return;
        }
        const auto first = std::lower_bound(at_.begin(), at_.end(), node,
                                            [](const At& at, NodeId wanted) { return at.node < wanted; });
        for (auto at = first; at != at_.end() && at->node == node; ++at) visit(at->carrier);
    }

    std::vector<Carrier> all_;
    std::vector<At> at_;  // empty where they are few
    std::vector<bool> used_;
};

bool gives(EdgeRole role) {
    return is_source(role) || role == EdgeRole::capacitor;
}

}  // namespace

FaultWay find_way(const Circuit& circuit, const FaultPlace& place, const FaultStory& story, Moment moment) {
    std::vector<Carrier> all;
    for (const FaultStress& stress : story.stress) {
        const Edge& edge = circuit.edge(stress.edge);
        all.push_back({edge.from, edge.to, moment == Moment::first ? stress.first_A : stress.last_A,
                       stress.edge, stress.edge, gives(edge.role)});
    }
    Carriers carriers(std::move(all));
    FaultWay way;
    const bool into_a = carriers.into(place.a) >= 0;
    way.hot = into_a ? place.a : place.b;
    way.cold = into_a ? place.b : place.a;
    EdgeId drain;
    for (const std::uint32_t i : carriers.follow(way.hot, -1, way.source))
        way.out.push_back(story.stress[i].edge);
    for (const std::uint32_t i : carriers.follow(way.cold, 1, drain))
        way.back.push_back(story.stress[i].edge);
    return way;
}

CourseWay find_way(const FaultNetwork& network, const FaultPlace& place, const FaultCourse& course,
                   Moment moment) {
    const std::size_t step = moment == Moment::first ? 0 : course.steps.size() - 1;
    std::vector<Carrier> all;
    all.reserve(course.pieces.size());
    for (std::uint32_t i = 0; i < course.pieces.size(); ++i) {
        const FaultPiece& piece = course.pieces[i];
        all.push_back(
            {piece.from, piece.to, course.amps_in(step, i), network.lines().edge_at_end(piece, true),
             network.lines().edge_at_end(piece, false),
             piece.count == 1 && gives(network.circuit().edge(network.lines().edge(piece, 0)).role)});
    }
    Carriers carriers(std::move(all));
    const bool into_a = carriers.into(place.a) >= 0;
    CourseWay way;
    EdgeId drain;
    way.out = carriers.follow(into_a ? place.a : place.b, -1, way.source);
    way.back = carriers.follow(into_a ? place.b : place.a, 1, drain);
    return way;
}

}  // namespace loomward
