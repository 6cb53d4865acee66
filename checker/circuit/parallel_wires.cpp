#include "checker/circuit/parallel_wires.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomward {
namespace {

constexpr std::uint32_t alone = std::numeric_limits<std::uint32_t>::max();
constexpr double length_grace = 0.05;

bool share_equally(const Wire& a, const Wire& b) {
    const auto same_area = [](double one, double other) { return std::abs(one - other) <= 1e-6 * one; };
    const auto same_length = [](double one, double other) {
        return std::abs(one - other) <= length_grace * std::max(one, other);
    };
    return a.area.is_known() && b.area.is_known() && a.length.is_known() && b.length.is_known() &&
           a.aluminium == b.aluminium && a.parallel == b.parallel && same_area(a.area.lo, b.area.lo) &&
           same_area(a.area.hi, b.area.hi) && same_length(a.length.lo, b.length.lo) &&
           same_length(a.length.hi, b.length.hi);
}

}  // namespace

ParallelGroups::ParallelGroups(const Circuit& circuit) {
    struct Ended {
        std::uint32_t low, high;
        WireId wire;
        bool operator<(const Ended& other) const {
            return std::tie(low, high, wire) < std::tie(other.low, other.high, other.wire);
        }
    };
    std::vector<Ended> by_ends;
    for (std::size_t i = 0; i < circuit.edge_of_wire.size(); ++i) {
        const Edge& edge = circuit.edge(circuit.edge_of_wire[i]);
        if (edge.from == edge.to) continue;
        by_ends.push_back(
            {std::min(edge.from.value, edge.to.value), std::max(edge.from.value, edge.to.value), WireId(i)});
    }
    std::sort(by_ends.begin(), by_ends.end());
    for (std::size_t first = 0, last = 0; first < by_ends.size(); first = last) {
        ParallelWires group;
        for (; last < by_ends.size() && by_ends[last].low == by_ends[first].low &&
               by_ends[last].high == by_ends[first].high;
             ++last)
            group.wires.push_back(by_ends[last].wire);
        if (group.wires.size() < 2) continue;
        const auto& wires = circuit.harness->wires;
        group.equal = std::all_of(group.wires.begin(), group.wires.end(), [&](WireId id) {
            return share_equally(wires[group.wires.front().index()], wires[id.index()]);
        });
        groups_.push_back(std::move(group));
    }
    std::sort(groups_.begin(), groups_.end(), [](const ParallelWires& a, const ParallelWires& b) {
        return a.wires.front() < b.wires.front();
    });
    group_of_.assign(circuit.edge_of_wire.size(), alone);
    for (std::size_t i = 0; i < groups_.size(); ++i)
        for (const WireId id : groups_[i].wires) group_of_[id.index()] = static_cast<std::uint32_t>(i);
}

const ParallelWires* ParallelGroups::of(WireId wire) const {
    const std::uint32_t group = group_of_[wire.index()];
    return group == alone ? nullptr : &groups_[group];
}

}  // namespace loomward
