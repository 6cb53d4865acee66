// The way of a fault's current, and what stays live after it.
#include <algorithm>

#include "checker/currents/witness.hpp"
#include "checker/faults/fault_races.hpp"
#include "checker/faults/fault_way.hpp"
#include "checker/parts/capacities.hpp"

namespace loomward {

namespace {

void show_way(const Circuit& circuit, FaultAccount& account) {
    FaultWay way = find_way(circuit, account.place, account.story);
    NodeId start = way.hot;
    for (const EdgeId edge : way.out) {
        const Edge& here = circuit.edge(edge);
        start = here.from == start ? here.to : here.from;
    }
    std::reverse(way.out.begin(), way.out.end());
    account.out = steps_along(circuit, start, way.out);
    account.back = steps_along(circuit, way.cold, way.back);
}

// Sources still joined to the fault by conductors that did not open.
void find_still_feeding(const FaultNetwork& network, FaultAccount& account) {
    const Circuit& circuit = network.circuit();
    std::vector<bool> gone(circuit.edges.size(), false), seen(circuit.node_count(), false);
    for (const FaultEvent& event : account.story.events)
        if (event.kind == FaultEvent::Kind::opens) gone[event.edge.index()] = true;
    std::vector<NodeId> queue{account.place.a, account.place.b};
    for (const NodeId node : queue) seen[node.index()] = true;
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const Incidence& step : circuit.at(queue[head])) {
            const Edge& edge = circuit.edge(step.edge);
            const FaultBranch& branch = network.branch(step.edge);
            if (!branch.conducts || branch.charge_As > 0 || gone[step.edge.index()]) continue;
            if (is_source(edge.role)) {
                if (edge.to == queue[head] &&
                    std::find(account.still_feeds.begin(), account.still_feeds.end(), edge.part) ==
                        account.still_feeds.end())
                    account.still_feeds.push_back(edge.part);
                continue;
            }
            if (branch.one_way && edge.to != queue[head]) continue;  // a diode feeds only its cathode
            if (seen[step.other.index()]) continue;
            seen[step.other.index()] = true;
            queue.push_back(step.other);
        }
    std::sort(account.still_feeds.begin(), account.still_feeds.end());
}

}  // namespace

std::optional<FaultAccount> FaultStudy::account(const FaultPlace& place, Corner corner,
                                                std::span<const PartId> bridged) const {
    std::optional<FaultAccount> worst;
    std::uint32_t worst_position = 0;
    // At most: where most flows. At least: where least does, of those first that do not end well.
    const auto worse = [&](const FaultStory& a, const FaultStory& b) {
        if (corner == Corner::fault_max) return a.prospective_A > b.prospective_A;
        if (ends_well(a) != ends_well(b)) return !ends_well(a);
        return a.prospective_A < b.prospective_A;
    };
    for (std::uint32_t position = 0; position < positions_.size(); ++position) {
        auto story = tell(place, corner, position, FaultTeller::BandEdge::slow, bridged);
        if (!story || (worst && !worse(*story, worst->story))) continue;
        worst.emplace();
        worst->story = std::move(*story);
        worst_position = position;
    }
    if (!worst) return std::nullopt;
    worst->place = place;
    worst->corner = corner;
    worst->position = worst_position;
    if (auto quickest = tell(place, corner, worst_position, FaultTeller::BandEdge::fast, bridged))
        worst->quickest = std::move(*quickest);
    show_way(circuit_, *worst);
    worst->races = find_races(facts_, setting_,
                              devices_on(circuit_, find_way(circuit_, place, worst->story), worst->story));
    find_still_feeding(network(worst_position, corner), *worst);
    return worst;
}

FaultAccount FaultStudy::account(const FaultPlace& place, Corner corner, std::uint32_t position) const {
    FaultAccount account;
    account.place = place;
    account.corner = corner;
    account.position = position;
    if (auto story = tell(place, corner, position)) account.story = std::move(*story);
    show_way(circuit_, account);
    return account;
}

}  // namespace loomward
