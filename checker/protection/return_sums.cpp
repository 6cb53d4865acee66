#include "checker/protection/return_sums.hpp"

#include <algorithm>
#include <map>

namespace loomward {

ReturnSums::ReturnSums(const GuardNetwork& network, const GuardView& view,
                       const std::vector<FlowBound>& chafed)
    : root_(network.return_vertex()), feeds_(network.zone_count() + 1) {
    std::vector<EdgeId> edge_of;
    const std::vector<FlowEdge> edges = network.chafed_edges(view, edge_of);
    const Blocks blocks = find_blocks(root_, root_ + 1, edges);
    for (std::size_t i = 0; i < blocks.edges_of_block.size(); ++i) {
        const std::uint32_t entry = blocks.entry_of_block[i];
        const auto& block = blocks.edges_of_block[i];
        if (block.size() > 1) exact_ = false;
        for (const std::uint32_t id : block)
            for (const std::uint32_t vertex : {edges[id].a, edges[id].b}) {
                if (vertex == entry) continue;
                Feed& feed = feeds_[vertex];
                feed.parent = entry;
                feed.order = static_cast<std::uint32_t>(i + 1);
                if (block.size() > 1) {
                    feed.over = chafed[vertex];
                    continue;
                }
                const double capacity = edges[id].a == entry ? edges[id].capacity : edges[id].backwards();
                feed.over.capacity = capacity;
                if (capacity < unbounded_A) feed.over.cut = {edge_of[id].value};
            }
    }
}

FlowBound ReturnSums::sum(std::vector<std::uint32_t>& zones) const {
    struct Drawn {
        FlowBound bound;
        std::vector<std::uint32_t> zones;
    };
    // From the outermost inwards: what is drawn behind a device, or what the device lets through.
    std::map<std::pair<std::uint32_t, std::uint32_t>, Drawn, std::greater<>> drawn;
    for (const std::uint32_t zone : zones)
        if (feeds_[zone].order > 0) drawn[{feeds_[zone].order, zone}].bound.capacity = unbounded_A;
    zones.clear();
    while (!drawn.empty()) {
        const std::uint32_t zone = drawn.begin()->first.second;
        Drawn here = std::move(drawn.begin()->second);
        drawn.erase(drawn.begin());
        if (zone == root_) {
            zones = std::move(here.zones);
            return std::move(here.bound);
        }
        const Feed& feed = feeds_[zone];
        if (feed.over.capacity <= here.bound.capacity) here = {feed.over, {zone}};
        Drawn& above = drawn[{feeds_[feed.parent].order, feed.parent}];
        above.bound.capacity += here.bound.capacity;
        if (above.bound.capacity == unbounded_A) {
            if (above.zones.size() != 1 || here.bound.capacity == unbounded_A) above.zones = here.zones;
            above.bound.cut.clear();
            continue;
        }
        above.zones.insert(above.zones.end(), here.zones.begin(), here.zones.end());
        above.bound.cut.insert(above.bound.cut.end(), here.bound.cut.begin(), here.bound.cut.end());
    }
    return {};
}

}  // namespace loomward
