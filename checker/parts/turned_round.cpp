#include "checker/parts/turned_round.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

namespace {

bool may_lead(EdgeRole role) {
    return is_conductor(role) || is_driver(role);
}

// Only electronics hold their power.
std::vector<EdgeId> may_be_turned(const Circuit& circuit, const Facts& facts) {
    std::vector<EdgeId> found;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role == EdgeRole::load && facts.word(edge.part, "acts-as"_attr) != "power")
            found.emplace_back(i);
    }
    return found;
}

// A pole that is a plus and one that is a minus, by the edges of their sources.
using PolePairs = std::set<std::pair<std::uint32_t, std::uint32_t>>;

PolePairs poles_at(const std::vector<std::uint32_t>& plus_here,
                   const std::vector<std::uint32_t>& minus_there) {
    PolePairs poles;
    for (const std::uint32_t plus : plus_here)
        for (const std::uint32_t minus : minus_there) poles.emplace(plus, minus);
    return poles;
}

}  // namespace

std::vector<bool> turned_round(const Circuit& circuit, const Facts& facts) {
    std::vector<bool> turned(circuit.harness->parts.size(), false);
    const std::vector<EdgeId> loads = may_be_turned(circuit, facts);
    if (loads.empty()) return turned;
    std::vector<PolePairs> right(loads.size()), round(loads.size());
    for (const Mode& mode : circuit.harness->modes) {
        DisjointSets pieces(circuit.node_count());
        for (const Edge& edge : circuit.edges)
            if (may_lead(edge.role) && is_closed(circuit, mode, edge))
                pieces.join(edge.from.index(), edge.to.index());
        std::vector<std::vector<std::uint32_t>> plus(circuit.node_count()), minus(circuit.node_count());
        for (std::uint32_t i = 0; i < circuit.edges.size(); ++i)
            if (const Edge& source = circuit.edges[i]; is_source(source.role)) {
                plus[pieces.find(source.to.index())].push_back(i);
                minus[pieces.find(source.from.index())].push_back(i);
            }
        for (std::size_t i = 0; i < loads.size(); ++i) {
            const Edge& load = circuit.edge(loads[i]);
            const std::size_t from = pieces.find(load.from.index()), to = pieces.find(load.to.index());
            if (from == to) continue;
            right[i].merge(poles_at(plus[from], minus[to]));
            round[i].merge(poles_at(plus[to], minus[from]));
        }
    }
    for (std::size_t i = 0; i < loads.size(); ++i)
        turned[circuit.edge(loads[i]).part.index()] = std::any_of(
            right[i].begin(), right[i].end(), [&](const auto& poles) { return round[i].contains(poles); });
    return turned;
}

}  // namespace loomward
