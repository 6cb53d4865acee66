// Points are what conductors join. The edges between points fall into blocks, pieces that no single point
// parts; two edges lie on one loop without passing a point twice exactly where they share a block (Hopcroft
// and Tarjan 1973, memory).
#include "checker/circuit/fed_loops.hpp"

#include <algorithm>

#include "checker/circuit/bridges.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

namespace {

// What a controller gives back is no source of its own.
bool is_supply(EdgeRole role) {
    return row(role).source && role != EdgeRole::regeneration;
}

// What a current passes between points.
bool passes_between_points(EdgeRole role) {
    return !row(role).conducts && !row(role).stores && role != EdgeRole::regeneration;
}

DisjointSets points_of(const Circuit& circuit, const std::vector<bool>& open, bool with_switches) {
    DisjointSets points(circuit.node_count());
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!is_conductor(edge.role) || open[i]) continue;
        if (!with_switches && edge.role == EdgeRole::switching) continue;
        points.join(edge.from.index(), edge.to.index());
    }
    return points;
}

struct Link {
    std::uint32_t other;
    EdgeId edge;
};

// Depth first with its own stack; edges wait until the block they belong to is complete.
class FedBlocks {
  public:
    FedBlocks(const Circuit& circuit, DisjointSets& points)
        : circuit_(circuit),
          links_(circuit.node_count()),
          entered_(circuit.node_count(), 0),
          lowest_(circuit.node_count(), 0),
          fed_(circuit.edges.size(), false) {
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            if (!passes_between_points(edge.role)) continue;
            const auto from = static_cast<std::uint32_t>(points.find(edge.from.index()));
            const auto to = static_cast<std::uint32_t>(points.find(edge.to.index()));
            if (from == to) continue;
            links_[from].push_back({to, EdgeId(i)});
            links_[to].push_back({from, EdgeId(i)});
        }
    }

    std::vector<bool> run() {
        for (std::uint32_t root = 0; root < links_.size(); ++root)
            if (entered_[root] == 0 && !links_[root].empty()) walk_from(root);
        return std::move(fed_);
    }

  private:
    struct Frame {
        std::uint32_t point;
        EdgeId arrived_by;
        std::size_t waiting;  // edges that waited before it was entered
        std::size_t next = 0;
    };

    void enter(std::uint32_t point, EdgeId arrived_by, std::size_t waiting) {
        entered_[point] = lowest_[point] = ++clock_;
        stack_.push_back({point, arrived_by, waiting});
    }

    void walk_from(std::uint32_t root) {
        enter(root, {}, 0);
        while (!stack_.empty()) {
            Frame& top = stack_.back();
            if (top.next == links_[top.point].size()) {
                leave();
                continue;
            }
            const Link link = links_[top.point][top.next++];
            if (link.edge == top.arrived_by) continue;
            if (entered_[link.other] == 0) {
                waiting_.push_back(link.edge);
                enter(link.other, link.edge, waiting_.size() - 1);
            } else if (entered_[link.other] < entered_[top.point]) {
                waiting_.push_back(link.edge);
                lowest_[top.point] = std::min(lowest_[top.point], entered_[link.other]);
            }
        }
    }

    void leave() {
        const Frame done = stack_.back();
        stack_.pop_back();
        if (stack_.empty()) return;
        const std::uint32_t above = stack_.back().point;
        lowest_[above] = std::min(lowest_[above], lowest_[done.point]);
        if (lowest_[done.point] >= entered_[above]) close_block(done.waiting);
    }

    void close_block(std::size_t first) {
        const auto begin = waiting_.begin() + static_cast<std::ptrdiff_t>(first);
        const bool loop = std::distance(begin, waiting_.end()) > 1;
        const bool has_source =
            std::any_of(begin, waiting_.end(), [&](EdgeId id) { return is_supply(circuit_.edge(id).role); });
        if (loop && has_source)
            for (auto each = begin; each != waiting_.end(); ++each) fed_[each->index()] = true;
        waiting_.erase(begin, waiting_.end());
    }

    const Circuit& circuit_;
    std::vector<std::vector<Link>> links_;
    std::vector<std::uint32_t> entered_, lowest_;
    std::vector<bool> fed_;
    std::vector<EdgeId> waiting_;
    std::vector<Frame> stack_;
    std::uint32_t clock_ = 0;
};

}  // namespace

std::vector<Feeding> find_feeding(const Circuit& circuit, const std::vector<bool>& open) {
    DisjointSets points = points_of(circuit, open, true);
    DisjointSets fixed = points_of(circuit, open, false);
    // Where the contacts that count as closed short a source, what joins what says nothing; then a loop of
    // any kind is all that is asked for.
    const bool shorted = std::any_of(circuit.edges.begin(), circuit.edges.end(), [&](const Edge& edge) {
        return is_supply(edge.role) && points.same(edge.from.index(), edge.to.index()) &&
               !fixed.same(edge.from.index(), edge.to.index());
    });
    const std::vector<bool> bridges = find_bridges(circuit);
    const std::vector<bool> fed = FedBlocks(circuit, points).run();
    std::vector<Feeding> feeding(circuit.edges.size(), Feeding::fed);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (fixed.same(edge.from.index(), edge.to.index()))
            feeding[i] = Feeding::joined;
        else if (shorted)
            feeding[i] = bridges[i] ? Feeding::no_source : Feeding::fed;
        else if (points.same(edge.from.index(), edge.to.index()))
            feeding[i] = Feeding::bypassed;
        else if (!fed[i])
            feeding[i] = Feeding::no_source;
    }
    return feeding;
}

std::vector<EdgeId> bypassing(const Circuit& circuit, const std::vector<bool>& open, EdgeId edge,
                              bool from_first) {
    const auto here = circuit.edge(edge).from, there = circuit.edge(edge).to;
    const NodeId near = from_first ? here : there, far = from_first ? there : here;
    // What hangs on an end without a contact that opens; then, from the other one, what closed contacts
    // reach.
    const auto flood = [&](NodeId start, bool over_contacts, const std::vector<bool>& not_into) {
        std::vector<bool> reached(circuit.node_count(), false);
        std::vector<NodeId> queue{start};
        reached[start.index()] = true;
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const Incidence& next : circuit.at(queue[head])) {
                const EdgeRole role = circuit.edge(next.edge).role;
                if (!is_conductor(role) || open[next.edge.index()] || reached[next.other.index()] ||
                    not_into[next.other.index()] || (role == EdgeRole::switching && !over_contacts))
                    continue;
                reached[next.other.index()] = true;
                queue.push_back(next.other);
            }
        return reached;
    };
    const std::vector<bool> nowhere(circuit.node_count(), false), at_near = flood(near, false, nowhere),
                                                                  beyond = flood(far, true, at_near);
    std::vector<EdgeId> contacts;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& each = circuit.edges[i];
        if (each.role != EdgeRole::switching || open[i]) continue;
        if ((at_near[each.from.index()] && beyond[each.to.index()]) ||
            (at_near[each.to.index()] && beyond[each.from.index()]))
            contacts.emplace_back(i);
    }
    return contacts;
}

}  // namespace loomward
