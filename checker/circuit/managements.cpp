#include "checker/circuit/managements.hpp"

#include <algorithm>

#include "checker/circuit/roles.hpp"

namespace loomward {

Managements::Managements(const Circuit& circuit) : circuit_(circuit), pieces_(circuit.node_count()) {
    for (const Edge& edge : circuit.edges)
        if (is_conductor(edge.role) && edge.role != EdgeRole::trip)
            pieces_.join(edge.from.index(), edge.to.index());
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::emf) continue;
        above_[piece(edge.from)].push_back(piece(edge.to));
        below_[piece(edge.to)].push_back(piece(edge.from));
    }
    find_what_comes_home();
    std::set<PartId> used;
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf)
            for (const PartId each : of(edge.part)) used.insert(each);
    // With nothing on its machine's side one cannot tell which pack is meant: all that have their pole there.
    for (auto& [where, managements] : at_)
        for (Management& each : managements)
            if (!used.contains(each.part)) each.comes_home.assign(circuit.node_count(), true);
}

// From the machine's side over whatever uses a current, and chargers, up to where the battery side begins.
// Packs and converters lead on to nothing: what is behind them is fed by them.
void Managements::find_what_comes_home() {
    std::vector<std::vector<std::size_t>> next(circuit_.node_count());
    std::map<PartId, std::vector<const Edge*>> trips;
    for (const Edge& edge : circuit_.edges) {
        if (edge.role == EdgeRole::trip) trips[edge.part].push_back(&edge);
        if (is_source(edge.role) && edge.role != EdgeRole::charger) continue;
        const std::size_t a = piece(edge.from), b = piece(edge.to);
        if (a == b) continue;
        next[a].push_back(b);
        next[b].push_back(a);
    }
    for (const auto& [part, edges] : trips) {
        const std::size_t battery = piece(edges.front()->from);
        Management management{part, std::vector<bool>(circuit_.node_count(), false)};
        std::vector<std::size_t> queue;
        const auto reach = [&](std::size_t each) {
            if (each == battery || management.comes_home[each]) return;
            management.comes_home[each] = true;
            queue.push_back(each);
        };
        for (const Edge* each : edges) reach(piece(each->to));
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const std::size_t each : next[queue[head]]) reach(each);
        at_[battery].push_back(std::move(management));
    }
}

// What packs on top of one another, or one below the other, lead to from a piece; itself first.
std::vector<std::size_t> Managements::string(std::size_t end, bool up) const {
    const auto& over = up ? above_ : below_;
    std::vector<std::size_t> queue{end};
    std::set<std::size_t> seen{end};
    for (std::size_t head = 0; head < queue.size(); ++head)
        if (const auto next = over.find(queue[head]); next != over.end())
            for (const std::size_t each : next->second)
                if (seen.insert(each).second) queue.push_back(each);
    return queue;
}

// Up from its plus and down from its minus: what lies beside it is watched by its own.
std::set<PartId> Managements::of(PartId pack) {
    std::set<PartId> found;
    const auto& sections = circuit_.edges_of_part[pack.index()];
    const auto below = string(piece(circuit_.edge(sections.front()).from), false),
               above = string(piece(circuit_.edge(sections.back()).to), true);
    for (const auto* side : {&below, &above})
        for (const std::size_t here : *side) {
            const auto there = at_.find(here);
            if (there == at_.end()) continue;
            const auto& other = side == &below ? above : below;
            for (const Management& each : there->second)
                if (std::any_of(other.begin(), other.end(),
                                [&](std::size_t end) { return each.comes_home[end]; }))
                    found.insert(each.part);
        }
    return found;
}

}  // namespace loomward
