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
        above_[piece(edge.from)].push_back(piece(edge.to));
        below_[piece(edge.to)].push_back(piece(edge.from));
    }
}

// Up from its plus and down from its minus: what lies beside it is watched by its own.
std::set<PartId> Managements::of(PartId pack) {
    std::set<PartId> found;
    const auto& sections = circuit_.edges_of_part[pack.index()];
    const auto walk = [&](NodeId end, const std::map<std::size_t, std::vector<std::size_t>>& on) {
        std::set<std::size_t> seen{piece(end)};
        std::vector<std::size_t> queue(seen.begin(), seen.end());
        for (std::size_t head = 0; head < queue.size(); ++head) {
            if (const auto here = at_.find(queue[head]); here != at_.end())
                found.insert(here->second.begin(), here->second.end());
            const auto next = on.find(queue[head]);
            if (next == on.end()) continue;
            for (const std::size_t each : next->second)
                if (seen.insert(each).second) queue.push_back(each);
        }
    };
    walk(circuit_.edge(sections.front()).from, below_);
    walk(circuit_.edge(sections.back()).to, above_);
    return found;
}

}  // namespace loomward
