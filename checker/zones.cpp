#include "checker/zones.hpp"

#include <algorithm>
#include <limits>
#include <queue>

#include "checker/disjoint_sets.hpp"
#include "checker/elements.hpp"
#include "checker/witness.hpp"
#include "checker/zone_blocks.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double harmless_A = 2;         // a resistor that lets no more than this pass stops a fault
constexpr std::size_t most_guards = 12;  // named for one wire; more say nothing to a reader

bool is_source(const Edge& edge) {
    switch (edge.role) {
        case EdgeRole::emf:
        case EdgeRole::charger:
        case EdgeRole::converter_output:
        case EdgeRole::regeneration:
        case EdgeRole::output_pin:
            return true;
        default:
            return false;
    }
}

// Largest voltage any source of the harness holds, V.
double highest_voltage(const Circuit& circuit, const Facts& facts) {
    double highest = 0;
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Part& part = circuit.harness->parts[i];
        if (part.kind == Kind::pack)
            if (const auto voltage = pack_voltage(facts, PartId(i)))
                highest += voltage->hi;  // they may stand in series
        if (part.kind == Kind::charger || part.kind == Kind::converter)
            if (const auto voltage = facts.quantity(PartId(i), "output"_attr))
                highest = std::max(highest, voltage->hi);
    }
    return highest;
}

// Edges through which a fault current passes freely when every contact is closed.
class Conducting {
  public:
    Conducting(const Circuit& circuit, const Facts& facts)
        : circuit_(circuit), facts_(facts), highest_V_(highest_voltage(circuit, facts)) {}
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
            case EdgeRole::resistor: {
                const auto ohm = facts_.quantity(edge.part, "(resistance)"_attr);
                return !ohm || ohm->lo <= 0 || highest_V_ / ohm->lo > harmless_A;
            }
            default:
                return false;
        }
    }

  private:
    const Circuit& circuit_;
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
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if ((edge.role == EdgeRole::fuse || edge.role == EdgeRole::breaker) && same_zone(edge))
                zones_.bypassed.push_back(EdgeId(i));
        }
        DisjointSets supplies(nodes);
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (passes_[i] || is_protective(edge) || edge.role == EdgeRole::trip)
                supplies.join(edge.from.index(), edge.to.index());
        }
        zones_.supply_of_node.resize(nodes);
        for (std::size_t i = 0; i < nodes; ++i)
            zones_.supply_of_node[i] = static_cast<std::uint32_t>(supplies.find(i));
        walk_from_sources();
        spread_guards();
        judge_wires();
        return std::move(zones_);
    }

  private:
    bool same_zone(const Edge& edge) const {
        return zones_.zone_of_node[edge.from.index()] == zones_.zone_of_node[edge.to.index()];
    }

    // Shortest way by wire length from each source's plus, within its own zone. A source that is limited by
    // its own electronics (converter, regeneration, an output pin) is itself the guard of what it feeds.
    void walk_from_sources() {
        const std::size_t nodes = circuit_.node_count();
        zones_.reached_from.resize(nodes);
        zones_.source_distance_m.assign(nodes, infinite);
        source_zone_.assign(nodes, false);
        minus_node_.assign(nodes, false);
        using Entry = std::pair<double, std::uint32_t>;
        std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
        for (const Edge& edge : circuit_.edges) {
            if (!is_source(edge)) continue;
            minus_node_[edge.from.index()] = true;
            if (is_electronic(edge)) continue;
            source_zone_[zones_.zone_of_node[edge.to.index()]] = true;
            zones_.source_distance_m[edge.to.index()] = 0;
            queue.emplace(0, edge.to.value);
        }
        while (!queue.empty()) {
            const auto [distance, node] = queue.top();
            queue.pop();
            if (distance > zones_.source_distance_m[node]) continue;
            for (const Incidence& next : circuit_.at(NodeId(node))) {
                if (!passes_[next.edge.index()]) continue;
                const double there = distance + length_m(circuit_.edge(next.edge));
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

    // Which devices lead into each zone: from the source zones outwards, over fuses, breakers and
    // electronics.
    void spread_guards() {
        const auto count = static_cast<std::uint32_t>(circuit_.node_count());
        guards_of_zone_.resize(count);
        std::vector<std::vector<std::size_t>> devices_of_zone(count);
        std::vector<EdgeId> devices;
        std::vector<std::pair<std::uint32_t, std::uint32_t>> ends;
        std::vector<std::uint32_t> queue;
        std::vector<bool> seen(count, false);
        const auto start = [&](std::uint32_t zone) {
            if (seen[zone]) return;
            seen[zone] = true;
            queue.push_back(zone);
        };
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (is_protective(edge) || edge.role == EdgeRole::trip) {
                devices_of_zone[zone(edge.from)].push_back(devices.size());
                devices_of_zone[zone(edge.to)].push_back(devices.size());
                devices.push_back(EdgeId(i));
                ends.emplace_back(zone(edge.from), zone(edge.to));
            }
            if (is_source(edge) && is_electronic(edge)) {
                guard(zone(edge.to), edge.part);
                start(zone(edge.to));
            }
        }
        for (std::uint32_t i = 0; i < count; ++i)
            if (source_zone_[i]) start(i);
        // A device behind a zone does not guard it: its only way from a source leads through the zone itself.
        const std::vector<std::uint32_t> before = zones_before(count, queue, ends);
        for (std::size_t head = 0; head < queue.size(); ++head) {
            const std::uint32_t here = queue[head];
            for (const std::size_t device : devices_of_zone[here]) {
                const std::uint32_t there =
                    ends[device].first == here ? ends[device].second : ends[device].first;
                if (there == here || source_zone_[there] || before[device] == there) continue;
                guard(there, circuit_.edge(devices[device]).part);
                start(there);
            }
        }
    }
    std::uint32_t zone(NodeId node) const { return zones_.zone_of_node[node.index()]; }
    void guard(std::uint32_t of_zone, PartId part) { insert(guards_of_zone_[of_zone], part); }
    static void insert(std::vector<PartId>& list, PartId part) {
        const auto place = std::lower_bound(list.begin(), list.end(), part);
        if ((place == list.end() || *place != part) && list.size() < most_guards) list.insert(place, part);
    }

    // Returns: from every load's minus, down a tree towards the sources' minus, collecting the loads' guards.
    void judge_wires() {
        const std::size_t nodes = circuit_.node_count();
        std::vector<std::uint32_t> order;
        std::vector<EdgeId> towards_source(nodes);
        std::vector<bool> seen(nodes, false);
        for (std::uint32_t i = 0; i < nodes; ++i)
            if (minus_node_[i] && !is_forward(NodeId(i))) {
                seen[i] = true;
                order.push_back(i);
            }
        for (std::size_t head = 0; head < order.size(); ++head)
            for (const Incidence& next : circuit_.at(NodeId(order[head]))) {
                const Edge& edge = circuit_.edge(next.edge);
                if (seen[next.other.index()] ||
                    !(passes_[next.edge.index()] || is_protective(edge) || edge.role == EdgeRole::trip))
                    continue;
                if (is_forward(next.other)) continue;
                seen[next.other.index()] = true;
                towards_source[next.other.index()] = next.edge;
                order.push_back(next.other.value);
            }
        collect_returns(order, towards_source);
    }
    // A node that a source's plus reaches, directly or through devices.
    bool is_forward(NodeId node) const {
        return source_zone_[zone(node)] || !guards_of_zone_[zone(node)].empty();
    }

    void collect_returns(const std::vector<std::uint32_t>& order, const std::vector<EdgeId>& towards_source) {
        std::vector<std::vector<PartId>> carried(circuit_.node_count());
        std::vector<bool> carries_unguarded(circuit_.node_count(), false);
        for (const Edge& edge : circuit_.edges) {
            if (!is_load(edge)) continue;
            if (source_zone_[zone(edge.from)]) carries_unguarded[edge.to.index()] = true;
            for (const PartId part : guards_of_zone_[zone(edge.from)]) insert(carried[edge.to.index()], part);
        }
        const std::size_t wires = circuit_.harness->wires.size();
        zones_.guards.resize(wires);
        zones_.unguarded.assign(wires, false);
        zones_.electronic_only.assign(wires, false);
        for (std::size_t i = order.size(); i-- > 0;) {
            const std::uint32_t node = order[i];
            const EdgeId id = towards_source[node];
            if (!id) continue;
            const Edge& edge = circuit_.edge(id);
            const NodeId next = edge.from.value == node ? edge.to : edge.from;
            if (edge.wire) {
                zones_.guards[edge.wire.index()] = carried[node];
                zones_.unguarded[edge.wire.index()] = carries_unguarded[node];
            }
            if (is_protective(edge)) continue;  // a device in the return guards what lies behind it
            for (const PartId part : carried[node]) insert(carried[next.index()], part);
            if (carries_unguarded[node]) carries_unguarded[next.index()] = true;
        }
        for (std::size_t i = 0; i < wires; ++i) finish(WireId(i));
    }

    void finish(WireId id) {
        const Edge& edge = circuit_.edge(circuit_.edge_of_wire[id.index()]);
        if (is_forward(edge.from)) {
            zones_.unguarded[id.index()] = source_zone_[zone(edge.from)];
            zones_.guards[id.index()] =
                zones_.unguarded[id.index()] ? std::vector<PartId>{} : guards_of_zone_[zone(edge.from)];
        }
        const auto& guards = zones_.guards[id.index()];
        const auto electronic = [&](PartId part) {
            const Kind kind = circuit_.harness->part(part).kind;
            return kind != Kind::fuse && kind != Kind::breaker;
        };
        zones_.electronic_only[id.index()] =
            !guards.empty() && std::all_of(guards.begin(), guards.end(), electronic);
    }

    static bool is_load(const Edge& edge) {
        switch (edge.role) {
            case EdgeRole::load:
            case EdgeRole::controller:
            case EdgeRole::converter_input:
            case EdgeRole::supply_pin:
            case EdgeRole::coil:
            case EdgeRole::capacitor:
            case EdgeRole::low_side:
                return true;
            default:
                return false;
        }
    }

    const Circuit& circuit_;
    Conducting conducting_;
    DisjointSets sets_;
    Zones zones_;
    std::vector<bool> passes_;       // by EdgeId
    std::vector<bool> source_zone_;  // by zone
    std::vector<bool> minus_node_;   // by NodeId
    std::vector<std::vector<PartId>> guards_of_zone_;
};

}  // namespace

bool is_electronic(const Edge& edge) {
    return edge.role == EdgeRole::trip || edge.role == EdgeRole::converter_output ||
           edge.role == EdgeRole::regeneration || edge.role == EdgeRole::output_pin ||
           edge.role == EdgeRole::charger;
}

bool is_protective(const Edge& edge) {
    return edge.role == EdgeRole::fuse || edge.role == EdgeRole::breaker;
}

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
