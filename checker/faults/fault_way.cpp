#include "checker/faults/fault_way.hpp"

#include <algorithm>
#include <cmath>

#include "checker/parts/capacities.hpp"

namespace loomward {

namespace {

// Whatever carries something, from its tail to its head, with its edges there.
struct Carrier {
    Carrier(NodeId from, NodeId to, double along_A, EdgeId at_from, EdgeId at_to, bool is_source)
        : tail(along_A > 0 ? from : to),
          head(along_A > 0 ? to : from),
          amps(std::abs(along_A)),
          at_tail(along_A > 0 ? at_from : at_to),
          at_head(along_A > 0 ? at_to : at_from),
          gives(is_source) {}

    NodeId tail, head;
    double amps;
    EdgeId at_tail, at_head;
    bool gives;  // a source or a capacitor: the way ends here
    bool used = false;
};

class Carriers {
  public:
    explicit Carriers(std::vector<Carrier> all) : all_(std::move(all)) {
        if (all_.size() > few) sort();
    }
    // Along the strongest current from a node, with it or to where it comes from, to a source. Of equal ones
    // along the one whose edge there comes first.
    std::vector<std::uint32_t> follow(NodeId node, bool with_it, EdgeId& source) {
        std::vector<std::uint32_t> way;
        for (;;) {
            Carrier* strongest = nullptr;
            EdgeId by;
            double most_A = FaultCourse::nothing;
            each_at(node, [&](Carrier& here) {
                if ((with_it ? here.tail : here.head) != node || here.used || !(here.amps >= most_A)) return;
                const EdgeId edge = with_it ? here.at_tail : here.at_head;
                if (here.amps == most_A && (!strongest || !(edge < by))) return;
                most_A = here.amps;
                strongest = &here;
                by = edge;
            });
            if (!strongest) return way;
            if (strongest->gives) {
                source = strongest->at_tail;
                return way;
            }
            strongest->used = true;
            way.push_back(static_cast<std::uint32_t>(strongest - all_.data()));
            node = with_it ? strongest->head : strongest->tail;
        }
    }
    double into(NodeId node) {
        double sum_A = 0;
        each_at(node, [&](const Carrier& here) {
            if (here.head == node) sum_A += here.amps;
            if (here.tail == node) sum_A -= here.amps;
        });
        return sum_A;
    }

  private:
    static constexpr std::size_t few = 40;  // that are quicker gone through than sorted
    struct At {
        NodeId node;
        std::uint32_t carrier;
        auto operator<=>(const At&) const = default;
    };
    void sort() {
        for (std::uint32_t i = 0; i < all_.size(); ++i) {
            at_.push_back({all_[i].tail, i});
            at_.push_back({all_[i].head, i});
        }
        std::sort(at_.begin(), at_.end());
    }
    // Those at the node, and where they are few the others too.
    template <class Visit>
    void each_at(NodeId node, Visit visit) {
        if (at_.empty()) {
            for (Carrier& carrier : all_) visit(carrier);
            return;
        }
        const auto first = std::lower_bound(at_.begin(), at_.end(), node,
                                            [](const At& at, NodeId wanted) { return at.node < wanted; });
        for (auto at = first; at != at_.end() && at->node == node; ++at) visit(all_[at->carrier]);
    }

    std::vector<Carrier> all_;
    std::vector<At> at_;  // empty where they are few
};

bool gives(EdgeRole role) {
    return is_source(role) || role == EdgeRole::capacitor;
}

}  // namespace

FaultWay find_way(const Circuit& circuit, const FaultPlace& place, const FaultStory& story, Moment moment) {
    std::vector<Carrier> all;
    all.reserve(story.stress.size());
    for (const FaultStress& stress : story.stress) {
        const Edge& edge = circuit.edge(stress.edge);
        all.emplace_back(edge.from, edge.to, moment == Moment::first ? stress.first_A : stress.last_A,
                         stress.edge, stress.edge, gives(edge.role));
    }
    Carriers carriers(std::move(all));
    FaultWay way;
    const bool into_a = carriers.into(place.a) >= 0;
    way.hot = into_a ? place.a : place.b;
    way.cold = into_a ? place.b : place.a;
    EdgeId drain;
    for (const std::uint32_t i : carriers.follow(way.hot, false, way.source))
        way.out.push_back(story.stress[i].edge);
    for (const std::uint32_t i : carriers.follow(way.cold, true, drain))
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
        const EdgeId first = network.lines().edge_at_end(piece, true);
        all.emplace_back(piece.from, piece.to, course.amps_in(step, i), first,
                         network.lines().edge_at_end(piece, false),
                         piece.count == 1 && gives(network.circuit().edge(first).role));
    }
    Carriers carriers(std::move(all));
    const bool into_a = carriers.into(place.a) >= 0;
    CourseWay way;
    EdgeId drain;
    way.out = carriers.follow(into_a ? place.a : place.b, false, way.source);
    way.back = carriers.follow(into_a ? place.b : place.a, true, drain);
    return way;
}

}  // namespace loomward
