#include "checker/protection/return_bounds.hpp"

#include <algorithm>
#include <limits>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/flow.hpp"

namespace loomward {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr std::size_t most_named = 12;

// The worst load of a side, and the one after it from elsewhere, so that a side can be left out.
struct Arrival {
    double feed_A = 0;
    EdgeId load;
};
Arrival worse(const Arrival& a, const Arrival& b) {
    return b.feed_A > a.feed_A ? b : a;
}
Arrival through(Arrival arrival, double capacity_A) {
    arrival.feed_A = std::min(arrival.feed_A, capacity_A);
    return arrival;
}

// What can leave: a sum in which infinities are counted, so that one part can be taken out again.
struct Leaving {
    double finite_A = 0;
    int endless = 0;
    std::vector<EdgeId> named;

    double total_A() const { return endless > 0 ? infinite : finite_A; }
    void add(double amount_A, const std::vector<EdgeId>& who) {
        if (amount_A == infinite)
            ++endless;
        else
            finite_A += amount_A;
        for (const EdgeId edge : who)
            if (named.size() < most_named && amount_A != infinite) named.push_back(edge);
    }
    Leaving without(double amount_A, const std::vector<EdgeId>& who) const {
        Leaving rest = *this;
        if (amount_A == infinite)
            --rest.endless;
        else
            rest.finite_A -= amount_A;
        for (const EdgeId edge : who) std::erase(rest.named, edge);
        return rest;
    }
};

class Rerooting {
  public:
    Rerooting(const Circuit& circuit, const ReturnNetwork& network)
        : circuit_(circuit), network_(network), loops_(circuit.node_count()) {}

    std::vector<ReturnBound> bound() {
        contract_loops();
        link();
        std::vector<ReturnBound> bounds(circuit_.edges.size());
        for (std::size_t i = 0; i < circuit_.node_count(); ++i)
            if (loops_.find(i) == i && !visited_[i] && !links_[i].empty())
                walk(static_cast<std::uint32_t>(i), bounds);
        bound_loops(bounds);
        return bounds;
    }

  private:
    struct Tie {
        std::uint32_t other;
        std::size_t conductor;
    };
    std::uint32_t piece(NodeId node) { return static_cast<std::uint32_t>(loops_.find(node.index())); }

    // Nodes on a loop of conductors are one piece; what is left is a forest.
    void contract_loops() {
        const std::uint32_t nodes = static_cast<std::uint32_t>(circuit_.node_count());
        std::vector<FlowEdge> edges;
        for (const auto& conductor : network_.conductors) {
            const Edge& edge = circuit_.edge(conductor.edge);
            edges.push_back({edge.from.value, edge.to.value, 1});
        }
        std::vector<bool> reached(nodes, false);
        // One component at a time; find_blocks walks only what its root reaches.
        DisjointSets components(nodes);
        for (const FlowEdge& edge : edges) components.join(edge.a, edge.b);
        std::vector<FlowEdge> rooted = edges;
        std::vector<bool> has_root(nodes, false);
        for (const FlowEdge& edge : edges)
            for (const std::uint32_t vertex : {edge.a, edge.b}) {
                const std::size_t component = components.find(vertex);
                if (has_root[component]) continue;
                has_root[component] = true;
                rooted.push_back({nodes, vertex, 1});
            }
        const Blocks blocks = find_blocks(nodes, nodes + 1, rooted);
        for (const auto& block : blocks.edges_of_block) {
            if (block.size() < 2) continue;
            for (const std::uint32_t id : block) loops_.join(rooted[id].a, rooted[id].b);
        }
    }

    void link() {
        links_.resize(circuit_.node_count());
        visited_.assign(circuit_.node_count(), false);
        arrives_.resize(circuit_.node_count());
        place_.resize(circuit_.node_count());
        whole_.resize(circuit_.node_count());
        leaves_.resize(circuit_.node_count());
        for (std::size_t i = 0; i < network_.conductors.size(); ++i) {
            const Edge& edge = circuit_.edge(network_.conductors[i].edge);
            const std::uint32_t a = piece(edge.from), b = piece(edge.to);
            if (a == b) {
                links_[a].push_back({a, i});
                continue;
            }
            links_[a].push_back({b, i});
            links_[b].push_back({a, i});
        }
        for (const auto& load : network_.loads) {
            Arrival& here = arrives_[piece(load.back)];
            here = worse(here, {load.feed_A, load.edge});
        }
        for (const auto& drain : network_.drains)
            leaves_[piece(drain.minus)].add(drain.capacity_A, {drain.source});
    }

    // One tree: sums from the leaves up, then from the root down, then each edge sees both of its sides.
    void walk(std::uint32_t root, std::vector<ReturnBound>& bounds) {
        std::vector<std::uint32_t> order{root}, parent{root};
        std::vector<std::size_t> by{0};
        visited_[root] = true;
        for (std::size_t head = 0; head < order.size(); ++head)
            for (const Tie& tie : links_[order[head]]) {
                if (visited_[tie.other]) continue;
                visited_[tie.other] = true;
                place_[tie.other] = order.size();
                order.push_back(tie.other);
                parent.push_back(order[head]);
                by.push_back(tie.conductor);
            }
        place_[root] = 0;
        const std::size_t count = order.size();
        std::vector<Arrival> up(count);
        std::vector<Leaving> out(count);
        std::vector<Arrival> first(count), second(count);  // the two worst ways into each piece
        for (std::size_t i = 0; i < count; ++i) first[i] = arrives_[order[i]], out[i] = leaves_[order[i]];
        for (std::size_t i = count; i-- > 1;) {
            const std::size_t above = place_[parent[i]];
            const double capacity_A = network_.conductors[by[i]].capacity_A;
            up[i] = through(first[i], capacity_A);
            note(up[i], first[above], second[above]);
            out[above].add(std::min(capacity_A, out[i].total_A()), names_of(by[i], out[i], capacity_A));
        }
        for (std::size_t i = 1; i < count; ++i) {
            const std::size_t above = place_[parent[i]];
            const double capacity_A = network_.conductors[by[i]].capacity_A;
            // The other side of edge i: everything at and above the parent but this branch.
            const Arrival arrives = first[above].load == up[i].load ? second[above] : first[above];
            const double own_A = std::min(capacity_A, out[i].total_A());
            const std::vector<EdgeId> own_names = names_of(by[i], out[i], capacity_A);
            const Leaving leaves = out[above].without(own_A, own_names);
            settle(bounds[network_.conductors[by[i]].edge.index()], first[i], out[i], arrives, leaves,
                   capacity_A);
            note(through(arrives, capacity_A), first[i], second[i]);
            out[i].add(std::min(capacity_A, leaves.total_A()), names_of(by[i], leaves, capacity_A));
        }
        for (std::size_t i = 0; i < count; ++i) whole_[order[i]] = {first[i], out[i]};
    }
    static void note(const Arrival& arrival, Arrival& first, Arrival& second) {
        if (arrival.feed_A > first.feed_A)
            second = first, first = arrival;
        else if (arrival.feed_A > second.feed_A)
            second = arrival;
    }
    std::vector<EdgeId> names_of(std::size_t conductor, const Leaving& leaving, double capacity_A) const {
        if (capacity_A < leaving.total_A()) return {network_.conductors[conductor].edge};
        return leaving.named;
    }
    static void settle(ReturnBound& bound, const Arrival& below, const Leaving& out_below,
                       const Arrival& above, const Leaving& out_above, double capacity_A) {
        consider(bound, below, out_above, capacity_A);
        consider(bound, above, out_below, capacity_A);
    }
    static void consider(ReturnBound& bound, const Arrival& arrives, const Leaving& leaves,
                         double capacity_A) {
        const double leaves_A = std::min(leaves.total_A(), capacity_A);
        const double flows_A = std::min(arrives.feed_A, leaves_A);
        if (flows_A <= bound.current_A) return;
        bound.current_A = flows_A;
        bound.load = arrives.feed_A <= leaves_A ? arrives.load : EdgeId{};
        bound.drained = arrives.feed_A <= leaves_A ? std::vector<EdgeId>{} : leaves.named;
    }

    // Conductors on a loop: all that arrives at the piece, and all that leaves it.
    void bound_loops(std::vector<ReturnBound>& bounds) {
        for (const auto& conductor : network_.conductors) {
            const Edge& edge = circuit_.edge(conductor.edge);
            if (piece(edge.from) != piece(edge.to)) continue;
            const auto& [arrives, leaves] = whole_[piece(edge.from)];
            consider(bounds[conductor.edge.index()], arrives, leaves, conductor.capacity_A);
        }
    }

    const Circuit& circuit_;
    const ReturnNetwork& network_;
    DisjointSets loops_;
    std::vector<std::vector<Tie>> links_;
    std::vector<bool> visited_;
    std::vector<Arrival> arrives_;
    std::vector<Leaving> leaves_;
    std::vector<std::size_t> place_;                  // by piece: its place in the order of its tree
    std::vector<std::pair<Arrival, Leaving>> whole_;  // by piece: over all of its tree
};

}  // namespace

std::vector<ReturnBound> bound_returns(const Circuit& circuit, const ReturnNetwork& network) {
    return Rerooting(circuit, network).bound();
}

}  // namespace loomward
