#include "checker/faults/fault_lines.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/flow.hpp"

namespace loomward {

namespace {

constexpr std::uint32_t few = 8;  // are added up one by one, to the last digit

// Numbers that add up to the same only for the same edges (splitmix64).
std::uint64_t print_of(EdgeId edge) {
    std::uint64_t bits = (std::uint64_t{edge.value} + 1) * 0x9e3779b97f4a7c15U;
    bits = (bits ^ (bits >> 30)) * 0xbf58476d1ce4e5b9U;
    bits = (bits ^ (bits >> 27)) * 0x94d049bb133111ebU;
    return bits ^ (bits >> 31);
}

}  // namespace

FaultLines::FaultLines(std::size_t node_count, const std::vector<Link>& links)
    : root_(static_cast<std::uint32_t>(node_count)) {
    std::vector<FlowEdge> edges;
    DisjointSets together(node_count);
    for (const Link& link : links) {
        edges.push_back({link.from.value, link.to.value, 0});
        together.join(link.from.index(), link.to.index());
    }
    // One root over all that hangs together, each by an edge of its own that no way uses.
    for (std::uint32_t node = 0; node < root_; ++node)
        if (together.find(node) == node) edges.push_back({root_, node, 0});
    Blocks blocks = find_blocks(root_, root_ + 1, edges);
    entry_of_block_ = std::move(blocks.entry_of_block);
    links_of_block_ = std::move(blocks.edges_of_block);
    block_of_node_.assign(node_count + 1, not_there);
    for (std::uint32_t block = 0; block < entry_of_block_.size(); ++block) {
        std::vector<std::uint32_t>& inside = links_of_block_[block];
        for (const std::uint32_t id : inside)
            for (const std::uint32_t end : {edges[id].a, edges[id].b})
                if (end != entry_of_block_[block] && block_of_node_[end] == not_there) {
                    block_of_node_[end] = block;
                    order_.push_back(end);
                }
        std::erase_if(inside, [&](std::uint32_t id) { return id >= links.size(); });
    }
    lay_out(links);
}

void FaultLines::lay_out(const std::vector<Link>& links) {
    slots_.reserve(links.size() + order_.size() / 4);
    lay_tree(links);
    chains_of_block_.assign(entry_of_block_.size(), {0, 0});
    chain_of_node_.assign(root_, not_there);
    cut_of_node_.assign(root_, 0);
    std::vector<std::uint32_t> scratch(root_, 0);
    for (std::uint32_t block = 0; block < entry_of_block_.size(); ++block) {
        if (links_of_block_[block].size() > 1) lay_block(block, links, scratch);
    }
    add_up();
}

void FaultLines::add_up() {
    ohm_before_.assign(slots_.size() + 1, 0);
    wire_m_before_ = ohm_before_;
    watched_before_.assign(slots_.size() + 1, 0);
    print_before_.assign(slots_.size() + 1, 0);
    for (std::size_t i = 0; i < slots_.size(); ++i) {
        const Link& link = slots_[i].link;
        ohm_before_[i + 1] = ohm_before_[i] + link.resistance_ohm;
        wire_m_before_[i + 1] = wire_m_before_[i] + link.wire_m;
        watched_before_[i + 1] = watched_before_[i] + (link.watched ? 1 : 0);
        print_before_[i + 1] = print_before_[i] + (link.edge ? print_of(link.edge) : 0);
    }
}

void FaultLines::place(const Link& link, std::uint32_t near) {
    const auto here = static_cast<std::uint32_t>(slots_.size());
    const bool forwards = link.from.value == near;
    const std::uint32_t far = forwards ? link.to.value : link.from.value;
    const bool goes_on = link.plain && here > 0 && slots_.back().link.plain && slots_.back().far == near;
    slots_.push_back({link, near, far, forwards, goes_on ? slots_.back().plain_from : here});
}

// Bridges, by heavy paths from the top down: of the bridges below a node the one with most below it goes on.
// A path whose top hangs on no bridge begins with a place of nothing.
void FaultLines::lay_tree(const std::vector<Link>& links) {
    const auto above = [&](std::uint32_t node) { return entry_of_block_[block_of_node_[node]]; };
    std::vector<std::uint32_t> size(root_ + 1, 1), heavy(root_ + 1, not_there);
    for (std::size_t i = order_.size(); i-- > 0;) size[above(order_[i])] += size[order_[i]];
    depth_.assign(root_ + 1, 0);
    for (const std::uint32_t node : order_) {
        const std::uint32_t entry = above(node);
        depth_[node] = depth_[entry] + 1;
        if (entry == root_ || !is_bridge(block_of_node_[node])) continue;
        if (heavy[entry] == not_there || size[heavy[entry]] < size[node]) heavy[entry] = node;
    }
    head_.assign(root_, not_there);
    slot_of_node_.assign(root_, not_there);
    for (const std::uint32_t top : order_) {
        if (head_[top] != not_there) continue;
        for (std::uint32_t node = top; node != not_there; node = heavy[node]) {
            head_[node] = top;
            slot_of_node_[node] = static_cast<std::uint32_t>(slots_.size());
            const std::uint32_t block = block_of_node_[node];
            if (is_bridge(block))
                place(links[links_of_block_[block].front()], entry_of_block_[block]);
            else
                slots_.push_back({{}, not_there, node, true, slot_of_node_[node]});
        }
    }
}

// Inside a block with loops: from every node where something else ends, along what meets nothing else.
void FaultLines::lay_block(std::uint32_t block, const std::vector<Link>& links,
                           std::vector<std::uint32_t>& meets) {
    const std::vector<std::uint32_t>& inside = links_of_block_[block];
    const auto ends = [&](std::uint32_t id) {
        return std::array<std::uint32_t, 2>{links[id].from.value, links[id].to.value};
    };
    // How many plain links meet at a node; 3 stands for whatever else makes it an end.
    std::vector<std::pair<std::uint32_t, std::uint32_t>> at;  // node, link
    for (const std::uint32_t id : inside)
        for (const std::uint32_t end : ends(id)) {
            meets[end] = links[id].plain ? std::min(meets[end] + 1, 3U) : 3U;
            at.emplace_back(end, id);
        }
    meets[entry_of_block_[block]] = 3;
    std::sort(at.begin(), at.end());
    std::vector<std::uint32_t> sorted = inside;
    std::sort(sorted.begin(), sorted.end());
    const auto number = [&](std::uint32_t id) {
        return static_cast<std::size_t>(std::lower_bound(sorted.begin(), sorted.end(), id) - sorted.begin());
    };
    std::vector<bool> taken(inside.size(), false);
    chains_of_block_[block].first = static_cast<std::uint32_t>(chains_.size());
    for (const auto& [start, first] : at) {
        if (meets[start] != 3 || taken[number(first)]) continue;
        const auto chain = static_cast<std::uint32_t>(chains_.size());
        chains_.push_back({block, static_cast<std::uint32_t>(slots_.size()), 0});
        std::uint32_t node = start, id = first;
        for (;;) {
            taken[number(id)] = true;
            place(links[id], node);
            ++chains_.back().count;
            node = slots_.back().far;
            if (meets[node] == 3) break;
            chain_of_node_[node] = chain;
            cut_of_node_[node] = static_cast<std::uint32_t>(slots_.size());
            const auto here = std::lower_bound(at.begin(), at.end(), std::pair(node, 0U));
            id = here->second == id ? (here + 1)->second : here->second;
        }
    }
    chains_of_block_[block].second = static_cast<std::uint32_t>(chains_.size());
    for (const auto& [node, id] : at) meets[node] = 0;
}

// The places from `begin` to before `end`, cut where something is not plain.
void FaultLines::take(std::uint32_t begin, std::uint32_t end, std::vector<FaultPiece>& pieces) const {
    while (end > begin) {
        const Slot& last = slots_[end - 1];
        const std::uint32_t first = last.link.plain ? std::max(begin, last.plain_from) : end - 1;
        if (end - first == 1)
            pieces.push_back({last.link.from, last.link.to, first, 1});
        else
            pieces.push_back({NodeId(slots_[first].near), NodeId(last.far), first, end - first});
        end = first;
    }
}

void FaultLines::take_block(std::uint32_t block, std::uint32_t one, std::uint32_t other,
                            std::vector<FaultPiece>& pieces) const {
    const auto [first, last] = chains_of_block_[block];
    for (std::uint32_t i = first; i < last; ++i) {
        const Chain& chain = chains_[i];
        std::uint32_t begin = chain.first;
        const std::uint32_t end = chain.first + chain.count;
        std::uint32_t cuts[2];
        std::size_t count = 0;
        for (const std::uint32_t node : {one, other})
            if (chain_of_node_[node] == i) cuts[count++] = cut_of_node_[node];
        if (count == 2 && cuts[1] < cuts[0]) std::swap(cuts[0], cuts[1]);
        for (std::size_t k = 0; k < count; ++k) {
            take(begin, cuts[k], pieces);
            begin = cuts[k];
        }
        take(begin, end, pieces);
    }
}

bool FaultLines::between(NodeId a, NodeId b, std::vector<FaultPiece>& pieces) const {
    pieces.clear();
    std::uint32_t u = a.value, v = b.value;
    while (head_[u] != head_[v]) {
        const std::uint32_t top_u = head_[u], top_v = head_[v];
        const std::uint32_t block = block_of_node_[top_u];
        if (block == block_of_node_[top_v] && entry_of_block_[block] != root_ && !is_bridge(block)) {
            take(slot_of_node_[top_u] + 1, slot_of_node_[u] + 1, pieces);
            take(slot_of_node_[top_v] + 1, slot_of_node_[v] + 1, pieces);
            take_block(block, top_u, top_v, pieces);
            return true;
        }
        std::uint32_t& deeper = depth_[top_u] >= depth_[top_v] ? u : v;
        const std::uint32_t top = head_[deeper], above = block_of_node_[top], entry = entry_of_block_[above];
        if (entry == root_) return false;
        take(slot_of_node_[top] + (is_bridge(above) ? 0 : 1), slot_of_node_[deeper] + 1, pieces);
        if (!is_bridge(above)) take_block(above, top, entry, pieces);
        deeper = entry;
    }
    if (u != v) {
        const auto [upper, lower] = std::minmax(slot_of_node_[u], slot_of_node_[v]);
        take(upper + 1, lower + 1, pieces);
    }
    return !pieces.empty();
}

std::vector<FaultPiece> FaultLines::apart(std::span<const FaultPiece> pieces) const {
    std::vector<FaultPiece> single;
    for (const FaultPiece& piece : pieces)
        for (std::uint32_t i = piece.first; i < piece.first + piece.count; ++i)
            single.push_back({slots_[i].link.from, slots_[i].link.to, i, 1});
    return single;
}

double FaultLines::resistance_ohm(const FaultPiece& piece) const {
    if (piece.count > few) return ohm_before_[piece.first + piece.count] - ohm_before_[piece.first];
    double sum = 0;
    for (std::uint32_t i = piece.first; i < piece.first + piece.count; ++i)
        sum += slots_[i].link.resistance_ohm;
    return sum;
}

double FaultLines::wire_m(const FaultPiece& piece) const {
    return wire_m_before_[piece.first + piece.count] - wire_m_before_[piece.first];
}

std::uint64_t FaultLines::fingerprint(std::span<const FaultPiece> pieces) const {
    std::uint64_t sum = 0;
    for (const FaultPiece& piece : pieces)
        sum += print_before_[piece.first + piece.count] - print_before_[piece.first];
    return sum;
}

}  // namespace loomward
