#include "checker/protection/zones.hpp"

#include <algorithm>
#include <limits>
#include <queue>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/currents/witness.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/protectors.hpp"
#include "checker/protection/proof.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double harmless_A = 2;  // a resistor that lets no more than this pass stops a fault

// Largest voltage any source of the harness holds, V.
double highest_voltage(const Circuit& circuit, const Facts& facts) {
    double highest = 0;
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Part& part = circuit.harness->parts[i];
        if (part.kind == Kind::pack)
            if (const auto voltage = pack_voltage(facts, PartId(i)))
                highest += voltage->hi;  // they may stand in series
        if (part.kind == Kind::charger || part.kind == Kind::converter || part.kind == Kind::inverter)
            if (const auto voltage = facts.quantity(PartId(i), output_attribute(part.kind)))
                highest = std::max(highest, voltage->hi);
    }
    return highest;
}

// Edges through which a fault current passes freely when every contact is closed, electronics that never open
// among them.
class Conducting {
  public:
    Conducting(const Circuit& circuit, const Facts& facts)
        : facts_(facts), highest_V_(highest_voltage(circuit, facts)) {}
    bool operator()(const Edge& edge) const {
        switch (edge.role) {
            case EdgeRole::wire:
            case EdgeRole::joint:
            case EdgeRole::contact:
            case EdgeRole::switching:
            case EdgeRole::shunt:
            case EdgeRole::diode:
            case EdgeRole::converter_reverse:
                return true;
            case EdgeRole::trip:
            case EdgeRole::protector:
                return never_opens(facts_, edge.part);
            case EdgeRole::resistor: {
                const auto ohm = facts_.quantity(edge.part, "(resistance)"_attr);
                return !ohm || ohm->lo <= 0 || highest_V_ / ohm->lo > harmless_A;
            }
            default:
                return false;
        }
    }

  private:
    const Facts& facts_;
    double highest_V_;
};

class ZoneFinder {
  public:
    ZoneFinder(const Circuit& circuit, const Facts& facts)
        : circuit_(circuit), conducting_(circuit, facts), sets_(circuit.node_count()) {}

    Zones find() {
        const std::size_t nodes = circuit_.node_count();
        passes_.resize(circuit_.edges.size());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            passes_[i] = conducting_(edge);
            if (passes_[i]) sets_.join(edge.from.index(), edge.to.index());
        }
        zones_.zone_of_node.resize(nodes);
        for (std::size_t i = 0; i < nodes; ++i)
            zones_.zone_of_node[i] = static_cast<std::uint32_t>(sets_.find(i));
        DisjointSets supplies(nodes);
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (passes_[i] || opens_on_current(edge.role)) supplies.join(edge.from.index(), edge.to.index());
        }
        zones_.supply_of_node.resize(nodes);
        for (std::size_t i = 0; i < nodes; ++i)
            zones_.supply_of_node[i] = static_cast<std::uint32_t>(supplies.find(i));
        walk_from_sources();
        return std::move(zones_);
    }

  private:
    // Shortest way by wire length from each source's plus, within its own zone. A source that is limited by
    // its own electronics (converter, regeneration, an output pin) is itself the guard of what it feeds.
    void walk_from_sources() {
        const std::size_t nodes = circuit_.node_count();
        zones_.reached_from.resize(nodes);
        zones_.source_distance_m.assign(nodes, infinite);
        using Entry = std::pair<double, std::uint32_t>;
        std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
        for (const Edge& edge : circuit_.edges) {
            if (!is_source(edge.role) || limits_itself(edge.role)) continue;
            zones_.source_distance_m[edge.to.index()] = 0;
            queue.emplace(0, edge.to.value);
        }
        while (!queue.empty()) {
            const auto [distance, node] = queue.top();
            queue.pop();
            if (distance > zones_.source_distance_m[node]) continue;
            for (const Incidence& next : circuit_.at(NodeId(node))) {
                const Edge& edge = circuit_.edge(next.edge);
                if (!passes_[next.edge.index()]) continue;
                if (edge.role == EdgeRole::diode && edge.from.value != node) continue;
                const double there = distance + length_m(edge);
                if (there >= zones_.source_distance_m[next.other.index()]) continue;
                zones_.source_distance_m[next.other.index()] = there;
                zones_.reached_from[next.other.index()] = next.edge;
                queue.emplace(there, next.other.value);
            }
        }
    }
    double length_m(const Edge& edge) const {
        return edge.wire ? circuit_.harness->wire(edge.wire).length.hi : 0;
    }

    const Circuit& circuit_;
    Conducting conducting_;
    DisjointSets sets_;
    Zones zones_;
    std::vector<bool> passes_;  // by EdgeId
};

}  // namespace

Zones find_zones(const Circuit& circuit, const Facts& facts) {
    return ZoneFinder(circuit, facts).find();
}

std::vector<Step> way_from_source(const Circuit& circuit, const Zones& zones, NodeId node) {
    std::vector<EdgeId> edges;
    NodeId here = node;
    while (const EdgeId id = zones.reached_from[here.index()]) {
        edges.push_back(id);
        const Edge& edge = circuit.edge(id);
        here = edge.from == here ? edge.to : edge.from;
    }
    std::reverse(edges.begin(), edges.end());
    return steps_along(circuit, here, edges);
}

std::vector<Step> way_round(const Circuit& circuit, const Facts& facts, NodeId from, NodeId to,
                            EdgeId avoid) {
    const Conducting conducting(circuit, facts);
    std::vector<EdgeId> back(circuit.node_count());
    std::vector<bool> seen(circuit.node_count(), false);
    std::vector<NodeId> queue{from};
    seen[from.index()] = true;
    for (std::size_t head = 0; head < queue.size() && !seen[to.index()]; ++head)
        for (const Incidence& next : circuit.at(queue[head])) {
            if (next.edge == avoid || seen[next.other.index()] || !conducting(circuit.edge(next.edge)))
                continue;
            seen[next.other.index()] = true;
            back[next.other.index()] = next.edge;
            queue.push_back(next.other);
        }
    if (!seen[to.index()]) return {};
    std::vector<EdgeId> edges;
    for (NodeId here = to; here != from;) {
        edges.push_back(back[here.index()]);
        const Edge& edge = circuit.edge(edges.back());
        here = edge.from == here ? edge.to : edge.from;
    }
    std::reverse(edges.begin(), edges.end());
    return steps_along(circuit, from, edges);
}

}  // namespace loomward
