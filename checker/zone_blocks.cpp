#include "checker/zone_blocks.hpp"

#include <algorithm>

namespace loomward {
namespace {

constexpr std::uint32_t unseen = 0xFFFFFFFF;

// Depth first from the root with low points; the root is the last vertex. A block (what no single vertex can
// part) hangs on its first vertex, its top: every way from the root into the block leads through it.
class BlockTops {
  public:
    using Pair = std::pair<std::uint32_t, std::uint32_t>;

    BlockTops(std::uint32_t zones, const std::vector<std::uint32_t>& sources,
              const std::vector<Pair>& devices)
        : root_(zones),
          next_(zones + 1),
          entered_(zones + 1, unseen),
          low_(zones + 1, unseen),
          parent_(zones + 1, unseen),
          top_(zones + 1, unseen) {
        std::uint32_t edge = 0;
        const auto link = [&](std::uint32_t a, std::uint32_t b) {
            next_[a].push_back({b, edge});
            next_[b].push_back({a, edge++});
        };
        for (const auto& [a, b] : devices) link(a, b);
        for (const std::uint32_t source : sources) link(root_, source);
        walk();
        // The top of the block that a vertex was entered in; parents come before children in this order.
        for (const std::uint32_t vertex : order_) {
            const std::uint32_t parent = parent_[vertex];
            if (parent == unseen) continue;
            top_[vertex] = low_[vertex] >= entered_[parent] ? parent : top_[parent];
        }
    }

    // The end of a device that is the top of its block, or no_zone.
    std::uint32_t before(const Pair& device) const {
        const auto [a, b] = device;
        if (a == b || entered_[a] == unseen || entered_[b] == unseen) return no_zone;
        const std::uint32_t top = top_[entered_[a] > entered_[b] ? a : b];
        return top == a || top == b ? top : no_zone;
    }

  private:
    struct Way {
        std::uint32_t to, edge;
    };
    struct Frame {
        std::uint32_t vertex, by_edge;
        std::size_t next_way;
    };

    void enter(std::uint32_t vertex, std::uint32_t from, std::uint32_t by_edge) {
        entered_[vertex] = low_[vertex] = static_cast<std::uint32_t>(order_.size());
        parent_[vertex] = from;
        order_.push_back(vertex);
        stack_.push_back({vertex, by_edge, 0});
    }

    void walk() {
        enter(root_, unseen, unseen);
        while (!stack_.empty()) {
            Frame& top = stack_.back();
            const std::uint32_t here = top.vertex;
            if (top.next_way == next_[here].size()) {
                stack_.pop_back();
                if (const std::uint32_t parent = parent_[here]; parent != unseen)
                    low_[parent] = std::min(low_[parent], low_[here]);
                continue;
            }
            const Way way = next_[here][top.next_way++];
            if (way.edge == top.by_edge) continue;
            if (entered_[way.to] == unseen)
                enter(way.to, here, way.edge);
            else
                low_[here] = std::min(low_[here], entered_[way.to]);
        }
    }

    std::uint32_t root_;
    std::vector<std::vector<Way>> next_;
    std::vector<std::uint32_t> entered_, low_, parent_, top_, order_;
    std::vector<Frame> stack_;
};

}  // namespace

std::vector<std::uint32_t> zones_before(std::uint32_t zone_count,
                                        const std::vector<std::uint32_t>& source_zones,
                                        const std::vector<std::pair<std::uint32_t, std::uint32_t>>& devices) {
    const BlockTops tops(zone_count, source_zones, devices);
    std::vector<std::uint32_t> before;
    before.reserve(devices.size());
    for (const auto& device : devices) before.push_back(tops.before(device));
    return before;
}

}  // namespace loomward
