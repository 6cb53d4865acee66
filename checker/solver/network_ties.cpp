#include "checker/solver/network_ties.hpp"

#include <algorithm>
#include <limits>

namespace loomward {
namespace {

constexpr double none_V = std::numeric_limits<double>::infinity();

// A tie seen from an island without a source.
struct Way {
    std::uint32_t island = 0;  // of that end
    std::uint32_t other = 0;   // node at the other end
};

class Lift {
  public:
    Lift(const Network& network, const NetworkGraph& graph, std::vector<double>& node_V)
        : island_of_node_(graph.island_of_node),
          node_V_(node_V),
          lift_V_(graph.reference_of_island.size(), none_V) {
        for (std::size_t island = 0; island < lift_V_.size(); ++island)
            if (graph.reference_of_island[island] != NetworkGraph::none) lift_V_[island] = 0;
        for (const NetworkTie& tie : network.ties) {
            add(tie.from, tie.to);
            add(tie.to, tie.from);
        }
        // Those from one island together.
        std::sort(ways_.begin(), ways_.end(), [&](const Way& a, const Way& b) { return key(a) < key(b); });
    }
    void run() {
        std::vector<std::uint32_t> reached;
        for (std::size_t island = 0; island < lift_V_.size(); ++island)
            if (lift_V_[island] == 0) reached.push_back(static_cast<std::uint32_t>(island));
        while (!reached.empty()) reached = step(reached);
        for (std::size_t node = 0; node < node_V_.size(); ++node)
            if (const double lift_V = lift_V_[island_of_node_[node]]; lift_V != none_V)
                node_V_[node] += lift_V;
    }

  private:
    std::uint32_t from_island(const Way& way) const { return island_of_node_[way.other]; }
    std::pair<std::uint32_t, std::uint32_t> key(const Way& way) const {
        return {from_island(way), way.island};
    }
    void add(std::uint32_t node, std::uint32_t other) {
        const std::uint32_t island = island_of_node_[node];
        if (lift_V_[island] == none_V && island_of_node_[other] != island) ways_.push_back({island, other});
    }
    // The islands that are tied to these and had no voltage yet, with the lowest that reaches them.
    std::vector<std::uint32_t> step(const std::vector<std::uint32_t>& reached) {
        std::vector<std::pair<std::uint32_t, double>> found;
        for (const std::uint32_t island : reached) {
            auto way = std::partition_point(ways_.begin(), ways_.end(),
                                            [&](const Way& each) { return from_island(each) < island; });
            for (; way != ways_.end() && from_island(*way) == island; ++way)
                if (lift_V_[way->island] == none_V)
                    found.emplace_back(way->island, node_V_[way->other] + lift_V_[island]);
        }
        std::sort(found.begin(), found.end());
        std::vector<std::uint32_t> next;
        for (const auto& [island, volts_V] : found) {
            if (lift_V_[island] != none_V) continue;
            lift_V_[island] = volts_V;
            next.push_back(island);
        }
        return next;
    }

    const std::vector<std::uint32_t>& island_of_node_;
    std::vector<double>& node_V_;
    std::vector<double> lift_V_;  // by island; none_V: not known yet
    std::vector<Way> ways_;
};

}  // namespace

void lift_sourceless_islands(const Network& network, const NetworkGraph& graph, std::vector<double>& node_V) {
    if (!network.ties.empty()) Lift(network, graph, node_V).run();
}

}  // namespace loomward
