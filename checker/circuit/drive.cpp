#include "checker/circuit/drive.hpp"

#include <algorithm>
#include <set>
#include <tuple>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/flow.hpp"

namespace loomward {

namespace {

// Whether a current passes an edge that is no conductor, in its own direction or against it.
bool passes(EdgeRole role, bool along, DriveThrough through) {
    switch (role) {
        case EdgeRole::diode:
        case EdgeRole::low_side:
        case EdgeRole::high_side:
        case EdgeRole::emf:
            // A pack is charged, but by nothing that would be a dead short.
            return along || (role == EdgeRole::emf && through == DriveThrough::anything);
        case EdgeRole::coil:
        case EdgeRole::resistor:
            return through == DriveThrough::anything;
        case EdgeRole::load:
        case EdgeRole::controller:
        case EdgeRole::converter_input:
        case EdgeRole::supply_pin:
            return along && through == DriveThrough::anything;
        default:
            return false;
    }
}

bool supplies(EdgeRole role) {
    return role == EdgeRole::emf || role == EdgeRole::charger || role == EdgeRole::converter_output ||
           role == EdgeRole::output_pin || role == EdgeRole::regeneration;
}

}  // namespace

Drive::Drive(const Circuit& circuit, const std::vector<bool>& taken_out)
    : circuit_(circuit), piece_(circuit.node_count()) {
    DisjointSets sets(circuit.node_count());
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (const Edge& edge = circuit.edges[i]; is_conductor(edge.role) && !taken_out[i])
            sets.join(edge.from.index(), edge.to.index());
    std::vector<std::uint32_t> number(circuit.node_count(), NodeId::none);
    std::uint32_t next = 0;
    for (std::size_t i = 0; i < piece_.size(); ++i) {
        std::uint32_t& of_root = number[sets.find(i)];
        if (of_root == NodeId::none) of_root = next++;
        piece_[i] = of_root;
    }
    at_piece_.resize(next);
    std::set<std::tuple<std::uint32_t, std::uint32_t, PartId>> known;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const std::uint32_t from = piece(edge.from), to = piece(edge.to);
        if (is_conductor(edge.role) || from == to) continue;
        at_piece_[from].push_back({EdgeId(i), from, to});
        at_piece_[to].push_back({EdgeId(i), from, to});
        if (supplies(edge.role) && known.insert({to, from, edge.part}).second)
            supplies_.push_back({EdgeId(i), to, from});
    }
    find_blocks_of_edges();
}

// A source pushes nothing through an edge that no loop joins to it.
void Drive::find_blocks_of_edges() {
    const auto count = static_cast<std::uint32_t>(at_piece_.size());
    std::vector<FlowEdge> ways;
    std::vector<EdgeId> edge_of;
    DisjointSets parts(count);
    for (std::size_t here = 0; here < at_piece_.size(); ++here)
        for (const Onward& next : at_piece_[here])
            if (next.from == here) {
                ways.push_back({next.from, next.to, 1});
                edge_of.push_back(next.edge);
                parts.join(next.from, next.to);
            }
    for (std::uint32_t here = 0; here < count; ++here)
        if (parts.find(here) == here) ways.push_back({count, here, 1});
    const Blocks blocks = find_blocks(count, count + 1, ways);
    block_.assign(circuit_.edges.size(), NodeId::none);
    for (std::size_t i = 0; i < edge_of.size(); ++i) block_[edge_of[i].index()] = blocks.block_of_edge[i];
}

// Where a current from the supply's plus gets to (`forward`), or from where one gets to its minus. The other
// pole is never passed, else everything would lead everywhere.
void Drive::walk(const Supply& supply, bool forward, DriveThrough through, EdgeId skip, Walk& walk) const {
    const std::uint32_t start = forward ? supply.plus : supply.minus;
    const std::uint32_t barred = forward ? supply.minus : supply.plus;
    walk.stamps.resize(at_piece_.size(), 0);
    ++walk.number;
    walk.pieces.assign(1, start);
    walk.stamps[start] = walk.number;
    for (std::size_t head = 0; head < walk.pieces.size(); ++head) {
        const std::uint32_t here = walk.pieces[head];
        for (const Onward& next : at_piece_[here]) {
            const bool leaves = next.from == here;
            const std::uint32_t other = leaves ? next.to : next.from;
            if (walk.came_to(other) || other == barred || next.edge == skip) continue;
            if (!passes(circuit_.edge(next.edge).role, leaves == forward, through)) continue;
            walk.stamps[other] = walk.number;
            walk.pieces.push_back(other);
        }
    }
}

bool Drive::counts(const Supply& supply, EdgeId id, DriveBy by) const {
    const Edge& source = circuit_.edge(supply.edge);
    if (source.part == circuit_.edge(id).part || block_[supply.edge.index()] != block_[id.index()])
        return false;
    if (by == DriveBy::packs) return source.role == EdgeRole::emf;
    if (by == DriveBy::chargers)
        return source.role == EdgeRole::charger || source.role == EdgeRole::converter_output;
    return true;
}

std::vector<Drive::Ways> Drive::across(std::span<const EdgeId> edges, DriveThrough through,
                                       DriveBy by) const {
    std::vector<Ways> ways(edges.size());
    std::vector<std::vector<std::uint32_t>> ending_at(at_piece_.size());
    for (std::uint32_t i = 0; i < edges.size(); ++i) {
        ending_at[piece(circuit_.edge(edges[i]).from)].push_back(i);
        ending_at[piece(circuit_.edge(edges[i]).to)].push_back(i);
    }
    Walk out, back;
    for (const Supply& supply : supplies_) {
        walk(supply, true, through, {}, out);
        walk(supply, false, through, {}, back);
        for (const std::uint32_t here : out.pieces)
            for (const std::uint32_t i : ending_at[here]) {
                const Edge& edge = circuit_.edge(edges[i]);
                if (!counts(supply, edges[i], by)) continue;
                if (piece(edge.from) == here && back.came_to(piece(edge.to))) ways[i].along = true;
                if (piece(edge.to) == here && back.came_to(piece(edge.from))) ways[i].against = true;
            }
    }
    // What passes a current both ways may have led round to its own other end.
    for (std::size_t i = 0; i < edges.size(); ++i) {
        const Edge& edge = circuit_.edge(edges[i]);
        if (!ways[i].along || !ways[i].against || edge.role != EdgeRole::coil) continue;
        ways[i] = {};
        for (const Supply& supply : supplies_) {
            if (!counts(supply, edges[i], by)) continue;
            walk(supply, true, through, edges[i], out);
            walk(supply, false, through, edges[i], back);
            const std::uint32_t from = piece(edge.from), to = piece(edge.to);
            ways[i].along = ways[i].along || (out.came_to(from) && back.came_to(to));
            ways[i].against = ways[i].against || (out.came_to(to) && back.came_to(from));
        }
    }
    return ways;
}

}  // namespace loomward
