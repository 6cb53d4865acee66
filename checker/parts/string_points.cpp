#include "checker/parts/string_points.hpp"

#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/positions.hpp"

namespace loomward {

namespace {

// Whether all poles of a converter lie on points of strings: then it levels them.
void add_levelling(const Circuit& circuit, const std::set<std::size_t>& poles, StringPoints& points) {
    std::map<PartId, bool> levels;
    const auto both = [&](auto look) {
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            if (edge.role == EdgeRole::converter_input || edge.role == EdgeRole::converter_output)
                look(EdgeId(i), edge, points.piece[edge.from.index()], points.piece[edge.to.index()]);
        }
    };
    both([&](EdgeId, const Edge& edge, std::size_t from, std::size_t to) {
        const bool here = poles.contains(from) && poles.contains(to);
        const auto [known, fresh] = levels.emplace(edge.part, here);
        known->second = known->second && here;
    });
    both([&](EdgeId id, const Edge& edge, std::size_t from, std::size_t to) {
        if (!levels[edge.part]) return;
        for (const auto& [piece, sign] : {std::pair(from, 1), std::pair(to, -1)})
            if (const auto found = points.among.find(piece); found != points.among.end())
                found->second.levelling.emplace_back(id, sign);
    });
}

}  // namespace

StringPoints string_points(const Circuit& circuit) {
    const std::vector<bool> apart = Positions(circuit).apart();
    DisjointSets joined =
        pieces(circuit, [&](EdgeId id) { return is_conductor(circuit.edge(id).role) && !apart[id.index()]; });
    StringPoints points;
    for (std::size_t i = 0; i < circuit.node_count(); ++i) points.piece.push_back(joined.find(i));
    std::set<std::size_t> poles;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const std::size_t lower = points.piece[edge.from.index()], upper = points.piece[edge.to.index()];
        if (edge.role != EdgeRole::emf || lower == upper) continue;
        points.among[upper].below.push_back(EdgeId(i));
        points.among[lower].above.push_back(EdgeId(i));
        poles.insert({upper, lower});
    }
    std::erase_if(points.among,
                  [](const auto& each) { return each.second.below.empty() || each.second.above.empty(); });
    add_levelling(circuit, poles, points);
    return points;
}

}  // namespace loomward
