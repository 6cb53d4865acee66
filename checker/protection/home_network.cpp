#include "checker/protection/home_network.hpp"

#include <map>
#include <utility>

#include "checker/circuit/bars.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {
namespace {

// By edge: whether it is part of a ring, where the vertices of `sets` are one each.
std::vector<bool> on_rings(DisjointSets& sets, std::uint32_t count, const std::vector<FlowEdge>& edges) {
    std::vector<FlowEdge> joined;
    for (const FlowEdge& edge : edges)
        joined.push_back({static_cast<std::uint32_t>(sets.find(edge.a)),
                          static_cast<std::uint32_t>(sets.find(edge.b)), 1, 1});
    std::vector<bool> rings(edges.size(), false);
    for (const auto& block : edges_of_all_blocks(count, std::move(joined)))
        if (block.size() > 1)
            for (const std::uint32_t id : block) rings[id] = true;
    return rings;
}

}  // namespace

HomeNetwork::HomeNetwork(const GuardNetwork& network, const GuardView& view, Detail detail)
    : network_(network), circuit_(network.circuit()), view_(view), detail_(detail) {
    find_pieces();
    add_ties();
    find_rows();
}

void HomeNetwork::find_pieces() {
    const std::uint32_t nodes = static_cast<std::uint32_t>(circuit_.node_count());
    DisjointSets sets(nodes);
    std::vector<FlowEdge> wires, plain_wires;
    std::vector<EdgeId> edge_of;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (!network_.conducts(EdgeId(i)) || !is_home(edge.from) || !is_home(edge.to)) continue;
        const bool plain = network_.there_A(EdgeId(i), view_) == unbounded_A &&
                           network_.back_A(EdgeId(i), view_) == unbounded_A;
        const bool joins = detail_ == Detail::points ? edge.role == EdgeRole::joint
                                                     : !edge.wire && !is_protective(edge.role);
        if (plain && joins) {
            sets.join(edge.from.index(), edge.to.index());
        } else {
            wires.push_back({edge.from.value, edge.to.value, 1, 1});
            edge_of.emplace_back(i);
            if (plain) plain_wires.push_back(wires.back());
        }
    }
    on_ring_.assign(circuit_.edges.size(), false);
    if (detail_ == Detail::pieces) {
        const std::vector<bool> rings = on_rings(sets, nodes, wires);
        for (std::size_t i = 0; i < wires.size(); ++i) on_ring_[edge_of[i].index()] = rings[i];
        // A ring with a device in it stays open: the device bounds what goes round.
        const std::vector<bool> plain_rings = on_rings(sets, nodes, plain_wires);
        for (std::size_t i = 0; i < plain_wires.size(); ++i)
            if (plain_rings[i]) sets.join(plain_wires[i].a, plain_wires[i].b);
    }
    vertex_.assign(nodes, not_there);
    std::vector<std::uint32_t> of_zone(network_.zone_count(), not_there), of_piece(nodes, not_there);
    for (std::uint32_t i = 0; i < nodes; ++i) {
        const bool home = is_home(NodeId(i));
        std::uint32_t& number = home ? of_piece[sets.find(i)] : of_zone[network_.zone(NodeId(i))];
        if (number == not_there) {
            number = vertex_count_++;
            piece_.push_back(home);
            zone_of_vertex_.push_back(network_.zone(NodeId(i)));
        }
        vertex_[i] = number;
    }
    bar_.assign(vertex_count_, false);
    const std::vector<bool> bar = bars(circuit_);
    for (std::size_t node = 0; node < bar.size(); ++node)
        if (bar[node]) bar_[vertex_[node]] = true;
}

void HomeNetwork::add_ties() {
    const auto add = [&](Tie::Kind kind, NodeId from, NodeId to, double there, double back, EdgeId id) {
        const std::uint32_t a = vertex(from), b = vertex(to);
        if (a != b && (there > 0 || back > 0)) ties_.push_back({kind, {a, b, there, back}, id});
    };
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        const EdgeId id(i);
        if (is_source(edge.role)) {
            add(Tie::Kind::source, edge.from, edge.to, network_.source_A(id, view_), 0, id);
        } else if (network_.conducts(id)) {
            const bool home = is_home(edge.from) && is_home(edge.to);
            // Nothing gets up from the minus side but through a source, nor through a diode to what leads
            // nowhere but from there.
            const bool from_minus = network_.minus_side(edge.from), to_minus = network_.minus_side(edge.to);
            if (!home && (from_minus || to_minus)) continue;
            const bool up = from_minus && !network_.back(edge.to),
                       down = to_minus && !network_.back(edge.from);
            add(home ? Tie::Kind::conductor : Tie::Kind::device, edge.from, edge.to,
                up ? 0 : network_.there_A(id, view_), down ? 0 : network_.back_A(id, view_), id);
        }
    }
    // Loads between the same two vertices are as good as one; a pack that is charged is told apart from them,
    // as it takes nothing of its own.
    std::map<std::pair<std::uint32_t, std::uint32_t>, std::size_t> seen;
    for (const GuardNetwork::Load& load : network_.loads()) {
        if (network_.minus_side(load.plus)) continue;
        const auto key = std::pair(vertex(load.plus), vertex(load.minus));
        const bool pack = circuit_.edge(load.edge).role == EdgeRole::emf;
        if (load.limit_A == unbounded_A && !load.both_ways && !pack) {
            if (!seen.emplace(key, ties_.size()).second) continue;
        }
        add(Tie::Kind::load, load.plus, load.minus, load.limit_A, load.both_ways ? load.limit_A : 0,
            load.edge);
    }
}

void HomeNetwork::find_rows() {
    at_.resize(vertex_count_);
    for (std::uint32_t i = 0; i < ties_.size(); ++i) {
        at_[ties_[i].flow.a].push_back(i);
        at_[ties_[i].flow.b].push_back(i);
    }
    DisjointSets sets(ties_.size());
    for (std::uint32_t i = 0; i < vertex_count_; ++i)
        if (piece_[i] && !bar_[i] && at_[i].size() == 2 && ties_[at_[i][0]].kind == Tie::Kind::conductor &&
            ties_[at_[i][1]].kind == Tie::Kind::conductor)
            sets.join(at_[i][0], at_[i][1]);
    rows_.resize(ties_.size());
    for (std::uint32_t i = 0; i < ties_.size(); ++i) rows_[i] = static_cast<std::uint32_t>(sets.find(i));
}

}  // namespace loomward
