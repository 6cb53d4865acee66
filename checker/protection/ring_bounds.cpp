#include "checker/protection/ring_bounds.hpp"

#include <algorithm>
#include <utility>

namespace loomward {

RingBounds::RingBounds(const GuardNetwork& network, const GuardView& view)
    : circuit_(network.circuit()),
      home_(network, view, HomeNetwork::Detail::points),
      driven_(network.circuit().edges.size(), false) {
    const std::uint32_t out = home_.vertex_count(), in = out + 1;
    const auto add = [&](const FlowEdge& flow, EdgeId id) {
        edges_.push_back(flow);
        edge_of_.push_back(id);
    };
    for (const HomeNetwork::Tie& tie : home_.ties())
        if (tie.kind != HomeNetwork::Tie::Kind::source) add(tie.flow, tie.edge);
    for (const HomeNetwork::Tie& tie : home_.ties()) {
        if (tie.kind != HomeNetwork::Tie::Kind::source) continue;
        add({out, tie.flow.b, tie.flow.capacity, 0}, tie.edge);
        add({tie.flow.a, in, tie.flow.capacity, 0}, tie.edge);
    }
    at_.resize(home_.vertex_count() + 2);
    for (std::uint32_t i = 0; i < edges_.size(); ++i) {
        at_[edges_[i].a].push_back(i);
        at_[edges_[i].b].push_back(i);
    }
    flows_ = std::make_unique<FlowNetwork>(home_.vertex_count() + 2, edges_);
    charge_by_others();
    find_hanging_points();
    std::vector<FlowEdge> all;
    for (const HomeNetwork::Tie& tie : home_.ties()) all.push_back({tie.flow.a, tie.flow.b, 1, 1});
    for (const auto& block : edges_of_all_blocks(home_.vertex_count(), std::move(all))) {
        if (std::none_of(block.begin(), block.end(), [&](std::uint32_t id) {
                return home_.ties()[id].kind == HomeNetwork::Tie::Kind::source;
            }))
            continue;
        for (const std::uint32_t id : block) driven_[home_.ties()[id].edge.index()] = true;
    }
}

// More than a few are not tried: the bound stays the larger one.
void RingBounds::find_hanging_points() {
    constexpr std::size_t most_points = 4;
    hangs_by_.resize(circuit_.edges.size());
    std::vector<FlowEdge> conductors;
    std::vector<EdgeId> edge_of;
    for (const HomeNetwork::Tie& tie : home_.ties())
        if (tie.kind == HomeNetwork::Tie::Kind::conductor || tie.kind == HomeNetwork::Tie::Kind::device) {
            conductors.push_back({tie.flow.a, tie.flow.b, 1, 1});
            edge_of.push_back(tie.edge);
        }
    const auto blocks = edges_of_all_blocks(home_.vertex_count(), conductors);
    std::vector<std::vector<std::uint32_t>> points(blocks.size());
    std::vector<std::size_t> blocks_of(home_.vertex_count(), 0);
    for (std::size_t block = 0; block < points.size(); ++block) {
        for (const std::uint32_t id : blocks[block])
            points[block].insert(points[block].end(), {conductors[id].a, conductors[id].b});
        std::sort(points[block].begin(), points[block].end());
        points[block].erase(std::unique(points[block].begin(), points[block].end()), points[block].end());
        for (const std::uint32_t vertex : points[block]) ++blocks_of[vertex];
    }
    for (std::size_t block = 0; block < points.size(); ++block) {
        std::erase_if(points[block], [&](std::uint32_t vertex) { return blocks_of[vertex] < 2; });
        if (points[block].size() > most_points) points[block].clear();
        for (const std::uint32_t id : blocks[block]) hangs_by_[edge_of[id].index()] = points[block];
    }
}

// A pack that is charged lets through what other sources bring to its plus, not what it gives itself: else
// its own current would come out of its minus and go home by a return. Of packs in line each passes on what
// the one above it takes, so that it takes as many rounds as there are packs at the most.
void RingBounds::charge_by_others() {
    struct Charged {
        std::uint32_t load, given;  // edges of the flow network
    };
    std::vector<Charged> packs;
    const auto is_emf = [&](std::uint32_t id) { return circuit_.edge(edge_of_[id]).role == EdgeRole::emf; };
    for (std::uint32_t id = 0; id < edges_.size(); ++id) {
        if (!is_emf(id) || edges_[id].a == home_.vertex_count()) continue;
        for (std::uint32_t other = 0; other < edges_.size(); ++other)
            if (edge_of_[other] == edge_of_[id] && edges_[other].a == home_.vertex_count() &&
                edges_[id].b != home_.vertex_count() + 1)
                packs.push_back({id, other});
    }
    const auto set = [&](std::uint32_t id, double capacity) {
        edges_[id].capacity = capacity;
        flows_->set(id, capacity, 0);
    };
    const std::vector<FlowEdge> as_they_were = edges_;
    for (const Charged& pack : packs) set(pack.load, 0);
    bool changed = true;
    for (std::size_t round = 0; round <= packs.size() && changed; ++round) {
        changed = false;
        for (const Charged& pack : packs) {
            flows_->set(pack.given, 0, 0);
            const double others_A = flows_->between(home_.vertex_count(), edges_[pack.load].a).capacity;
            flows_->set(pack.given, edges_[pack.given].capacity, 0);
            const double takes_A = std::min(others_A, as_they_were[pack.load].capacity);
            if (takes_A <= edges_[pack.load].capacity) continue;
            set(pack.load, takes_A);
            changed = true;
        }
    }
    // Not settled: without a limit, on the safe side.
    if (changed)
        for (const Charged& pack : packs) set(pack.load, as_they_were[pack.load].capacity);
}

void RingBounds::take_out(std::uint32_t vertex, bool out) {
    for (const std::uint32_t id : at_[vertex])
        flows_->set(id, out ? 0 : edges_[id].capacity, out ? 0 : edges_[id].backwards());
}

FlowBound RingBounds::arrives(std::uint32_t at, std::uint32_t without, std::uint32_t nor) {
    for (const std::uint32_t vertex : {without, nor}) take_out(vertex, true);
    FlowBound bound = flows_->between(home_.vertex_count(), at);
    for (const std::uint32_t vertex : {without, nor}) take_out(vertex, false);
    return bound;
}
FlowBound RingBounds::leaves(std::uint32_t from, std::uint32_t without, std::uint32_t nor) {
    for (const std::uint32_t vertex : {without, nor}) take_out(vertex, true);
    FlowBound bound = flows_->between(from, home_.vertex_count() + 1);
    for (const std::uint32_t vertex : {without, nor}) take_out(vertex, false);
    return bound;
}

FlowBound RingBounds::one_way(std::uint32_t from, std::uint32_t to, std::span<const std::uint32_t> points) {
    const auto smaller = [](const FlowBound& a, const FlowBound& b) {
        return b.capacity < a.capacity ? b : a;
    };
    const FlowBound in = arrives(from, to, to), out = leaves(to, from, from);
    FlowBound least = smaller(in, out);
    for (const std::uint32_t point : points) {
        if (least.capacity <= 0) break;
        if (point == from || point == to) continue;
        // No way passes a point twice: what comes by it leaves without it, or it comes without it.
        const FlowBound came = smaller(arrives(from, to, point), out),
                        left = smaller(in, leaves(to, from, point));
        FlowBound both{came.capacity + left.capacity, came.cut};
        if (left.capacity > 0) both.cut.insert(both.cut.end(), left.cut.begin(), left.cut.end());
        if (both.capacity < least.capacity) least = std::move(both);
    }
    return least;
}

FlowBound RingBounds::of(EdgeId wire) {
    const Edge& edge = circuit_.edge(wire);
    const std::uint32_t a = home_.vertex(edge.from), b = home_.vertex(edge.to);
    if (a == b || !driven_[wire.index()]) return {};
    const std::vector<std::uint32_t>& points = hangs_by_[wire.index()];
    const FlowBound there = one_way(a, b, points), back = one_way(b, a, points);
    const FlowBound& worse = back.capacity > there.capacity ? back : there;
    FlowBound named{worse.capacity, {}, std::min(there.capacity, back.capacity)};
    for (const std::uint32_t id : worse.cut) named.cut.push_back(edge_of_[id].value);
    std::sort(named.cut.begin(), named.cut.end());
    named.cut.erase(std::unique(named.cut.begin(), named.cut.end()), named.cut.end());
    return named;
}

}  // namespace loomward
