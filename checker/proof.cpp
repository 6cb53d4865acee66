#include "checker/proof.hpp"

#include <algorithm>
#include <unordered_map>

#include "checker/disjoint_sets.hpp"
#include "checker/elements.hpp"
#include "checker/flow.hpp"
#include "checker/positions.hpp"
#include "checker/return_bounds.hpp"
#include "checker/tables/protection.hpp"
#include "checker/tables/sources.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
// Beyond this a wire in a loop keeps the bound of all that reaches it from either end: larger, on the safe
// side.
constexpr std::size_t largest_refined_block = 3000;

// The largest sum of full voltages that could stand across a resistor: every pack in series, or one charger.
double highest_voltage_V(const Facts& facts) {
    double highest = 0, packs = 0;
    for (std::size_t i = 0; i < facts.harness().parts.size(); ++i) {
        const Kind kind = facts.harness().parts[i].kind;
        if (kind == Kind::pack)
            if (const auto voltage = pack_voltage(facts, PartId(i))) packs += voltage->hi;
        if (kind == Kind::charger || kind == Kind::converter)
            if (const auto voltage = facts.quantity(PartId(i), "output"_attr))
                highest = std::max(highest, voltage->hi);
    }
    return std::max(highest, packs);
}

// The slowest trip that is sure to act on a standing current: the lowest threshold of all.
double trip_current_A(const Facts& facts, PartId bms) {
    double lowest = unbounded_A;
    const Harness& harness = facts.harness();
    for (const Attribute& attribute : harness.attributes_of(harness.part(bms).attributes)) {
        if (attribute.name != "trips"_attr) continue;
        const Value& threshold = harness.values_of(attribute)[0];
        if (threshold.known != Knowledge::unknown) lowest = std::min(lowest, threshold.hi);
    }
    return lowest;
}

// The current of a pin that supplies or drives, by its own line.
double pin_current_A(const Circuit& circuit, const Edge& edge) {
    std::size_t pin = 0;
    for (const Attribute& attribute :
         circuit.harness->attributes_of(circuit.harness->part(edge.part).attributes)) {
        if (attribute.name != "pin"_attr || pin++ != edge.way) continue;
        const Value rated = circuit.harness->values_of(attribute)[3];
        if (rated.present() && rated.known != Knowledge::unknown) return rated.hi;
    }
    return unbounded_A;
}

double limit_or(const Facts& facts, PartId part, Attr first, Attr second, std::size_t place) {
    if (const auto stated = facts.quantity(part, first)) return stated->hi;
    if (const auto rated = facts.quantity(part, second, place)) return rated->hi;
    return unbounded_A;
}

class Prover {
  public:
    // `open` by EdgeId: contacts that this position of the selectors leaves open.
    Prover(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open)
        : circuit_(circuit),
          facts_(facts),
          capacities_(circuit, facts),
          open_(open),
          sets_(circuit.node_count()) {}

    Proof prove() {
        contract();
        const std::vector<FlowBound> with = forward(true);
        const std::vector<FlowBound> without = forward(false);
        for (const FlowBound& bound : forward(false, false))
            no_fuse_before_.push_back(bound.capacity == unbounded_A);
        find_sides(with);
        const std::vector<ReturnBound> back_with = back(with, true);
        const std::vector<ReturnBound> back_without = back(without, false);
        refine();
        proof_.wires.resize(circuit_.harness->wires.size());
        for (std::size_t i = 0; i < proof_.wires.size(); ++i)
            settle(WireId(i), with, without, back_with, back_without);
        return std::move(proof_);
    }

  private:
    // Nodes joined by plain conductors are one zone; the edges between zones are devices.
    void contract() {
        capacity_with_.resize(circuit_.edges.size());
        capacity_without_.resize(circuit_.edges.size());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            capacity_with_[i] = open_[i] ? -1 : capacities_.guard_A(edge, true);
            capacity_without_[i] = open_[i] ? -1 : capacities_.guard_A(edge, false);
            if (capacity_with_[i] == unbounded_A && capacity_without_[i] == unbounded_A &&
                edge.role != EdgeRole::trip && edge.role != EdgeRole::fuse && edge.role != EdgeRole::breaker)
                sets_.join(edge.from.index(), edge.to.index());
        }
        zone_.assign(circuit_.node_count(), 0);
        std::vector<std::uint32_t> number(circuit_.node_count(), none);
        for (std::size_t i = 0; i < circuit_.node_count(); ++i) {
            std::uint32_t& of_root = number[sets_.find(i)];
            if (of_root == none) of_root = zones_++;
            zone_[i] = of_root;
        }
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const bool device = edge.role == EdgeRole::fuse || edge.role == EdgeRole::breaker;
            if (device && zone(edge.from) == zone(edge.to)) proof_.bypassed.push_back(EdgeId(i));
        }
    }
    std::uint32_t zone(NodeId node) const { return zone_[node.index()]; }

    // Device edges between zones; `edge_of` remembers which edge of the circuit each is.
    std::vector<FlowEdge> device_edges(bool electronics, std::vector<EdgeId>& edge_of) const {
        std::vector<FlowEdge> edges;
        edge_of.clear();
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const double capacity = electronics ? capacity_with_[i] : capacity_without_[i];
            if (capacity < 0 || zone(edge.from) == zone(edge.to)) continue;
            edges.push_back({zone(edge.from), zone(edge.to), capacity});
            edge_of.push_back(EdgeId(i));
        }
        return edges;
    }

    // Bounds of all zones from the sources' plus; cuts are edges of the circuit.
    std::vector<FlowBound> forward(bool electronics, bool limits = true) const {
        std::vector<EdgeId> edge_of;
        std::vector<FlowEdge> edges = device_edges(electronics, edge_of);
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (!is_source(edge.role)) continue;
            edges.push_back({zones_, zone(edge.to), limits ? capacities_.source_A(edge) : unbounded_A});
            edge_of.push_back(EdgeId(i));
        }
        return in_circuit_edges(flows_from(zones_, zones_ + 1, edges), edge_of);
    }
    static std::vector<FlowBound> in_circuit_edges(std::vector<FlowBound> bounds,
                                                   const std::vector<EdgeId>& edge_of) {
        for (FlowBound& bound : bounds)
            for (std::uint32_t& edge : bound.cut) edge = edge_of[edge].value;
        return bounds;
    }

    void find_sides(const std::vector<FlowBound>& with) {
        forward_zone_.assign(zones_, false);
        for (std::uint32_t i = 0; i < zones_; ++i) forward_zone_[i] = with[i].capacity > 0;
        proof_.side_of_node.assign(circuit_.node_count(), Side::neither);
        for (std::size_t i = 0; i < circuit_.node_count(); ++i)
            if (forward_zone_[zone_[i]]) proof_.side_of_node[i] = Side::forward;
    }

    // Wires in a loop with the sources: what arrives at either end without the wire itself.
    void refine() {
        const std::uint32_t root = static_cast<std::uint32_t>(circuit_.node_count());
        for (const bool electronics : {true, false}) {
            std::vector<FlowEdge> edges;
            std::vector<EdgeId> edge_of;
            for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
                const Edge& edge = circuit_.edges[i];
                const bool source = is_source(edge.role);
                const double capacity = source        ? capacities_.source_A(edge)
                                        : electronics ? capacity_with_[i]
                                                      : capacity_without_[i];
                if (capacity < 0 || !forward_zone_[zone(edge.to)] ||
                    (!source && !forward_zone_[zone(edge.from)]))
                    continue;
                edges.push_back({source ? root : edge.from.value, edge.to.value, capacity});
                edge_of.push_back(EdgeId(i));
            }
            const Blocks blocks = find_blocks(root, root + 1, edges);
            const std::vector<FlowBound> entries = in_circuit_edges(flows_of_zones(edges, root), edge_of);
            for (std::size_t block = 0; block < blocks.edges_of_block.size(); ++block) {
                const auto& here = blocks.edges_of_block[block];
                if (here.size() == 1 || here.size() > largest_refined_block) continue;
                for (const std::uint32_t id : here)
                    if (circuit_.edge(edge_of[id]).wire)
                        refine_wire(id, here, blocks.entry_of_block[block], edges, edge_of,
                                    entries[blocks.entry_of_block[block]], electronics);
            }
        }
    }
    // Bounds by node, worked out by zone: nodes that plain conductors join share theirs.
    std::vector<FlowBound> flows_of_zones(const std::vector<FlowEdge>& edges, std::uint32_t root) const {
        std::vector<FlowEdge> between = edges;
        for (FlowEdge& edge : between) {
            edge.a = edge.a == root ? zones_ : zone_[edge.a];
            edge.b = zone_[edge.b];
        }
        const std::vector<FlowBound> by_zone = flows_from(zones_, zones_ + 1, between);
        std::vector<FlowBound> by_node(root + 1);
        for (std::uint32_t i = 0; i < root; ++i) by_node[i] = by_zone[zone_[i]];
        by_node[root] = by_zone[zones_];
        return by_node;
    }
    void refine_wire(std::uint32_t wire, const std::vector<std::uint32_t>& block, std::uint32_t entry,
                     const std::vector<FlowEdge>& edges, const std::vector<EdgeId>& edge_of,
                     const FlowBound& of_entry, bool electronics) {
        // Contract the block's plain conductors, all but this wire.
        std::unordered_map<std::uint32_t, std::uint32_t> local;
        const auto number = [&](std::uint32_t vertex) {
            return local.try_emplace(vertex, static_cast<std::uint32_t>(local.size())).first->second;
        };
        number(entry);
        for (const std::uint32_t id : block) number(edges[id].a), number(edges[id].b);
        DisjointSets joined(local.size());
        std::vector<FlowEdge> contracted;
        for (const std::uint32_t id : block)
            if (id != wire && edges[id].capacity == unbounded_A)
                joined.join(number(edges[id].a), number(edges[id].b));
        for (const std::uint32_t id : block)
            contracted.push_back({static_cast<std::uint32_t>(joined.find(number(edges[id].a))),
                                  static_cast<std::uint32_t>(joined.find(number(edges[id].b))),
                                  id == wire ? 0 : edges[id].capacity});
        // The wire itself stays out: as a loop on its own vertex it counts for nothing.
        for (std::size_t i = 0; i < block.size(); ++i)
            if (block[i] == wire) contracted[i].b = contracted[i].a;
        std::vector<FlowBound> flows = flows_from(static_cast<std::uint32_t>(joined.find(number(entry))),
                                                  static_cast<std::uint32_t>(local.size()), contracted);
        FlowBound worst;
        for (const std::uint32_t end : {edges[wire].a, edges[wire].b}) {
            const FlowBound& there = flows[joined.find(number(end))];
            if (there.capacity > worst.capacity) worst = there;
        }
        for (std::uint32_t& id : worst.cut) id = edge_of[block[id]].value;
        if (of_entry.capacity < worst.capacity) worst = of_entry;
        auto& bounds = refined_[edge_of[wire].value];
        (electronics ? bounds.first : bounds.second) = std::move(worst);
    }
    bool has_no_fuse(const Bound& bound) const {
        return std::none_of(bound.cut.begin(), bound.cut.end(), [&](EdgeId id) {
            const EdgeRole role = circuit_.edge(id).role;
            return role == EdgeRole::fuse || role == EdgeRole::breaker || role == EdgeRole::resistor;
        });
    }

    // Returns: the loads' feeds are known now; what leaves is the sources' own.
    std::vector<ReturnBound> back(const std::vector<FlowBound>& feeds, bool electronics) {
        ReturnNetwork network;
        DisjointSets together(circuit_.node_count());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const bool from_fed = forward_zone_[zone(edge.from)], to_fed = forward_zone_[zone(edge.to)];
            const double capacity = electronics ? capacity_with_[i] : capacity_without_[i];
            if (is_source(edge.role)) {
                if (!from_fed) network.drains.push_back({EdgeId(i), edge.from, capacities_.source_A(edge)});
            } else if (capacity >= 0) {
                if (from_fed || to_fed) continue;
                network.conductors.push_back({EdgeId(i), capacity});
                together.join(edge.from.index(), edge.to.index());
            } else if (from_fed != to_fed) {
                const NodeId feed = from_fed ? edge.from : edge.to;
                network.loads.push_back(
                    {EdgeId(i), from_fed ? edge.to : edge.from, feeds[zone(feed)].capacity});
            }
        }
        std::vector<bool> drained(circuit_.node_count(), false);
        for (const auto& drain : network.drains) drained[together.find(drain.minus.index())] = true;
        for (std::size_t i = 0; i < circuit_.node_count(); ++i)
            if (drained[together.find(i)]) proof_.side_of_node[i] = Side::back;
        return bound_returns(circuit_, network);
    }
    Bound bound_of(const ReturnBound& returned, const std::vector<FlowBound>& feeds) const {
        if (!returned.load) {
            Bound bound{returned.current_A, returned.drained};
            std::sort(bound.cut.begin(), bound.cut.end());
            return bound;
        }
        const Edge& load = circuit_.edge(returned.load);
        return bound_of(feeds[forward_zone_[zone(load.from)] ? zone(load.from) : zone(load.to)]);
    }

    static Bound bound_of(const FlowBound& flow) {
        Bound bound{flow.capacity, {}};
        for (const std::uint32_t edge : flow.cut) bound.cut.emplace_back(edge);
        std::sort(bound.cut.begin(), bound.cut.end());
        return bound;
    }
    void settle(WireId id, const std::vector<FlowBound>& with, const std::vector<FlowBound>& without,
                const std::vector<ReturnBound>& back_with, const std::vector<ReturnBound>& back_without) {
        const EdgeId edge_id = circuit_.edge_of_wire[id.index()];
        const Edge& edge = circuit_.edge(edge_id);
        WireProof& wire = proof_.wires[id.index()];
        const std::uint32_t here = zone(edge.from);
        if (forward_zone_[here]) {
            wire.side = Side::forward;
            const auto refined = refined_.find(edge_id.value);
            wire.with_electronics = bound_of(refined == refined_.end() ? with[here] : refined->second.first);
            wire.without_electronics =
                bound_of(refined == refined_.end() ? without[here] : refined->second.second);
            wire.no_fuse = no_fuse_before_[here] && has_no_fuse(wire.without_electronics);
            return;
        }
        if (proof_.side_of_node[edge.from.index()] != Side::back) return;
        wire.side = Side::back;
        wire.worst_load = back_with[edge_id.index()].load;
        wire.with_electronics = bound_of(back_with[edge_id.index()], with);
        wire.without_electronics = bound_of(back_without[edge_id.index()], without);
        // What a source takes back is no guard that anybody misses; the feed of the load is what counts.
        if (!wire.worst_load) return;
        const Edge& load = circuit_.edge(wire.worst_load);
        const std::uint32_t feed = forward_zone_[zone(load.from)] ? zone(load.from) : zone(load.to);
        wire.no_fuse = no_fuse_before_[feed] && has_no_fuse(wire.without_electronics);
    }

    const Circuit& circuit_;
    const Facts& facts_;
    Capacities capacities_;
    const std::vector<bool>& open_;
    DisjointSets sets_;
    std::uint32_t zones_ = 0;
    std::vector<std::uint32_t> zone_;                       // by NodeId
    std::vector<double> capacity_with_, capacity_without_;  // by EdgeId
    std::vector<bool> forward_zone_;
    std::vector<bool> no_fuse_before_;  // by zone: some source reaches it past no fuse, breaker or resistor
    std::unordered_map<std::uint32_t, std::pair<FlowBound, FlowBound>> refined_;  // by EdgeId, looked up only
    Proof proof_;
};

}  // namespace

bool is_source(EdgeRole role) {
    switch (role) {
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

OperatingCurrent operating_current(const Facts& facts, PartId device) {
    const auto rated = facts.quantity(device, "(rated-current)"_attr);
    if (!rated) return {unbounded_A, "rated current not known", ""};
    const std::string_view family = facts.word(device, "curve"_attr);
    if (const auto conventional = conventional_currents(family, rated->hi)) {
        const double factor = conventional->fusing;
        return {factor * rated->hi,
                to_text(factor, Dimension::none) + " x " + to_text(rated->hi, Dimension::current),
                cite(conventional->source)};
    }
    // Not a family that is known here: the widest conventional pair there is for its kind.
    const bool breaker = facts.harness().part(device).kind == Kind::breaker;
    const double factor = breaker ? 1.45 : 1.6;
    facts.assume("conventional operating current where the family is not known",
                 breaker ? "1.45 x rated current" : "1.6 x rated current",
                 breaker ? "IEC 60898-1" : "IEC 60269-1 Table 2 (memory)", facts.harness().part(device).name);
    return {factor * rated->hi,
            to_text(factor, Dimension::none) + " x " + to_text(rated->hi, Dimension::current),
            breaker ? "IEC 60898-1" : "IEC 60269-1 Table 2 (memory)"};
}

Capacities::Capacities(const Circuit& circuit, const Facts& facts)
    : circuit_(circuit),
      facts_(facts),
      way_back_(circuit.harness->parts.size(), false),
      highest_V_(highest_voltage_V(facts)) {
    find_way_back(circuit);
}

void Capacities::find_way_back(const Circuit& circuit) {
    DisjointSets supplies(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (edge.role != EdgeRole::converter_reverse && guard_A(edge, true) >= 0)
            supplies.join(edge.from.index(), edge.to.index());
    std::vector<std::uint32_t> sources_in(circuit.node_count(), 0);
    for (const Edge& edge : circuit.edges)
        if (is_source(edge.role)) ++sources_in[supplies.find(edge.to.index())];
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::converter_reverse && sources_in[supplies.find(edge.from.index())] > 1)
            way_back_[edge.part.index()] = true;
}

double Capacities::guard_A(const Edge& edge, bool electronics_count) const {
    switch (edge.role) {
        case EdgeRole::wire:
        case EdgeRole::joint:
        case EdgeRole::contact:
        case EdgeRole::switching:
        case EdgeRole::shunt:
        case EdgeRole::diode:
            return unbounded_A;
        case EdgeRole::converter_reverse:
            return way_back_[edge.part.index()] ? unbounded_A : -1;
        case EdgeRole::fuse:
        case EdgeRole::breaker:
            return operating_current(facts_, edge.part).current_A;
        case EdgeRole::trip:
            return electronics_count ? trip_current_A(facts_, edge.part) : unbounded_A;
        case EdgeRole::high_side:
            return electronics_count ? pin_current_A(circuit_, edge) : unbounded_A;
        case EdgeRole::resistor: {
            const auto ohm = facts_.quantity(edge.part, "(resistance)"_attr);
            return ohm && ohm->lo > 0 ? highest_V_ / ohm->lo : unbounded_A;
        }
        default:
            return -1;
    }
}

double Capacities::source_A(const Edge& edge) const {
    if (edge.role == EdgeRole::emf) return unbounded_A;
    if (edge.role == EdgeRole::output_pin) return pin_current_A(circuit_, edge);
    if (edge.role == EdgeRole::regeneration)
        return limit_or(facts_, edge.part, "regen"_attr, "regen"_attr, 0);
    return limit_or(facts_, edge.part, "short-circuit"_attr, "output"_attr, 1);
}

namespace {

void keep_worse(Bound& worst, const Bound& other) {
    if (other.current_A > worst.current_A) worst = other;
}

void merge(Proof& worst, const Proof& other) {
    for (std::size_t i = 0; i < worst.wires.size(); ++i) {
        WireProof& wire = worst.wires[i];
        const WireProof& now = other.wires[i];
        if (now.side != Side::neither && now.with_electronics.current_A >= wire.with_electronics.current_A) {
            wire.side = now.side;
            wire.worst_load = now.worst_load;
        }
        keep_worse(wire.with_electronics, now.with_electronics);
        keep_worse(wire.without_electronics, now.without_electronics);
        wire.no_fuse = wire.no_fuse || now.no_fuse;
    }
    for (std::size_t i = 0; i < worst.side_of_node.size(); ++i)
        if (worst.side_of_node[i] == Side::neither || other.side_of_node[i] == Side::forward)
            worst.side_of_node[i] = other.side_of_node[i];
    for (const EdgeId device : other.bypassed)
        if (std::find(worst.bypassed.begin(), worst.bypassed.end(), device) == worst.bypassed.end())
            worst.bypassed.push_back(device);
}

}  // namespace

Proof prove_guards(const Circuit& circuit, const Facts& facts) {
    const Positions positions(circuit);
    Proof worst;
    for (std::size_t number = 0; number < positions.count(); ++number) {
        const std::vector<bool> open = positions.open(number);
        Proof proof = Prover(circuit, facts, open).prove();
        if (number == 0)
            worst = std::move(proof);
        else
            merge(worst, proof);
    }
    return worst;
}

}  // namespace loomward
