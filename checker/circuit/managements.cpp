#include "checker/circuit/managements.hpp"

#include "checker/circuit/roles.hpp"

namespace loomward {

Managements::Managements(const Circuit& circuit) : circuit_(circuit), pieces_(circuit.node_count()) {
    for (const Edge& edge : circuit.edges)
        if (is_conductor(edge.role) && edge.role != EdgeRole::trip)
            pieces_.join(edge.from.index(), edge.to.index());
    for (const Edge& edge : circuit.edges) {
        if (edge.role == EdgeRole::trip) at_[piece(edge.from)].insert(edge.part);
        if (edge.role != EdgeRole::emf) continue;
        neighbours_[piece(edge.from)].push_back(piece(edge.to));
        neighbours_[piece(edge.to)].push_back(piece(edge.from));
    }
}

std::set<PartId> Managements::of(PartId pack) {
    std::set<PartId> found;
    std::set<std::size_t> seen{piece(circuit_.edge(circuit_.edges_of_part[pack.index()].front()).from)};
    std::vector<std::size_t> queue(seen.begin(), seen.end());
    for (std::size_t head = 0; head < queue.size(); ++head) {
        if (const auto here = at_.find(queue[head]); here != at_.end())
            found.insert(here->second.begin(), here->second.end());
        for (const std::size_t next : neighbours_[queue[head]])
            if (seen.insert(next).second) queue.push_back(next);
    }
    return found;
}

}  // namespace loomward
