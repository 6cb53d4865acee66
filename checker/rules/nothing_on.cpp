#include "checker/rules/nothing_on.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "checker/parts/elements.hpp"

namespace loomward {

bool leaves_everything_off(const RuleInput& input) {
    const std::vector<Edge>& edges = input.circuit.edges;
    const bool consumers = std::any_of(edges.begin(), edges.end(), [](const Edge& edge) {
        return edge.role == EdgeRole::load || edge.role == EdgeRole::controller;
    });
    constexpr double nothing_V = 1;
    std::set<ModeId> looked_at;
    for (const OperatingPoint& point : input.points) looked_at.insert(point.mode);
    // A pack of unknown voltage gives none, and nobody can say what is on.
    const bool live = std::all_of(edges.begin(), edges.end(), [&](const Edge& edge) {
        return edge.role != EdgeRole::emf || pack_voltage(input.facts, edge.part);
    });
    return consumers && live && looked_at.size() == input.harness.modes.size() &&
           std::none_of(input.points.begin(), input.points.end(), [&](const OperatingPoint& point) {
               return !point.usable() || std::any_of(edges.begin(), edges.end(), [&](const Edge& edge) {
                   return uses_power(edge.role) && std::abs(point.node_V[edge.from.index()] -
                                                            point.node_V[edge.to.index()]) > nothing_V;
               });
           });
}

}  // namespace loomward
