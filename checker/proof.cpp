#include "checker/proof.hpp"

#include <algorithm>

#include "checker/disjoint_sets.hpp"
#include "checker/elements.hpp"
#include "checker/flow.hpp"
#include "checker/return_tree.hpp"
#include "checker/tables/protection.hpp"
#include "checker/tables/sources.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

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
    Prover(const Circuit& circuit, const Facts& facts)
        : circuit_(circuit), facts_(facts), capacities_(circuit, facts), sets_(circuit.node_count()) {}

    Proof prove() {
        contract();
        const std::vector<FlowBound> with = forward(true);
        const std::vector<FlowBound> without = forward(false);
        find_sides(with);
        const std::vector<FlowBound> leave_with = leaving(true);
        const std::vector<FlowBound> leave_without = leaving(false);
        arrive(with, without);
        proof_.wires.resize(circuit_.harness->wires.size());
        for (std::size_t i = 0; i < proof_.wires.size(); ++i)
            settle(WireId(i), with, without, leave_with, leave_without);
        return std::move(proof_);
    }

  private:
    // Nodes joined by plain conductors are one zone; the edges between zones are devices.
    void contract() {
        capacity_with_.resize(circuit_.edges.size());
        capacity_without_.resize(circuit_.edges.size());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            capacity_with_[i] = capacities_.guard_A(edge, true);
            capacity_without_[i] = capacities_.guard_A(edge, false);
            if (capacity_with_[i] == unbounded_A && capacity_without_[i] == unbounded_A &&
                edge.role != EdgeRole::trip)
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
    std::vector<FlowBound> forward(bool electronics) const {
        std::vector<EdgeId> edge_of;
        std::vector<FlowEdge> edges = device_edges(electronics, edge_of);
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (!is_source(edge.role)) continue;
            edges.push_back({zones_, zone(edge.to), capacities_.source_A(edge, electronics)});
            edge_of.push_back(EdgeId(i));
        }
        return in_circuit_edges(flows_from(zones_, zones_ + 1, edges), edge_of);
    }
    // Bounds of all zones towards the sources' minus, over zones that no plus reaches.
    std::vector<FlowBound> leaving(bool electronics) const {
        std::vector<EdgeId> edge_of;
        std::vector<FlowEdge> edges = device_edges(electronics, edge_of);
        for (FlowEdge& edge : edges)
            if (forward_zone_[edge.a] || forward_zone_[edge.b]) edge.b = edge.a;  // not a way back
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            if (!is_source(edge.role) || forward_zone_[zone(edge.from)]) continue;
            edges.push_back({zones_, zone(edge.from), capacities_.source_A(edge, electronics)});
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

    // For every return wire, the load with the largest feed whose return can lead through it.
    void arrive(const std::vector<FlowBound>& with, const std::vector<FlowBound>& without) {
        std::vector<bool> forward(circuit_.node_count()), conducts(circuit_.edges.size());
        for (std::size_t i = 0; i < forward.size(); ++i) forward[i] = forward_zone_[zone_[i]];
        for (std::size_t i = 0; i < conducts.size(); ++i) conducts[i] = capacity_with_[i] >= 0;
        const ReturnTree tree(circuit_, forward, conducts);
        arriving_ = tree.collect<Injection>(
            [&](std::size_t i) {
                const FedReturn& load = tree.loads()[i];
                return Injection{load.load, with[zone(load.feed)].capacity,
                                 without[zone(load.feed)].capacity};
            },
            worse);
        for (std::size_t i = 0; i < forward.size(); ++i)
            if (tree.leads_back(NodeId(i))) proof_.side_of_node[i] = Side::back;
    }
    struct Injection {
        EdgeId load;
        double with_A = 0;
        double without_A = 0;
    };
    static Injection worse(const Injection& a, const Injection& b) {
        Injection worst = b.with_A > a.with_A ? b : a;
        worst.without_A = std::max(a.without_A, b.without_A);
        return worst;
    }

    static Bound bound_of(const FlowBound& flow) {
        Bound bound{flow.capacity, {}};
        for (const std::uint32_t edge : flow.cut) bound.cut.emplace_back(edge);
        std::sort(bound.cut.begin(), bound.cut.end());
        return bound;
    }
    void settle(WireId id, const std::vector<FlowBound>& with, const std::vector<FlowBound>& without,
                const std::vector<FlowBound>& leave_with, const std::vector<FlowBound>& leave_without) {
        const EdgeId edge_id = circuit_.edge_of_wire[id.index()];
        const Edge& edge = circuit_.edge(edge_id);
        WireProof& wire = proof_.wires[id.index()];
        const std::uint32_t here = zone(edge.from);
        if (forward_zone_[here]) {
            wire.side = Side::forward;
            wire.with_electronics = bound_of(with[here]);
            wire.without_electronics = bound_of(without[here]);
            return;
        }
        if (proof_.side_of_node[edge.from.index()] != Side::back) return;
        wire.side = Side::back;
        const Injection& arrives = arriving_[edge_id.index()];
        wire.worst_load = arrives.load;
        const auto smaller = [&](double arrives_A, const std::vector<FlowBound>& feed,
                                 const FlowBound& leaves) {
            if (leaves.capacity < arrives_A) return bound_of(leaves);
            if (!arrives.load) return Bound{};
            const Edge& load = circuit_.edge(arrives.load);
            return bound_of(feed[forward_zone_[zone(load.from)] ? zone(load.from) : zone(load.to)]);
        };
        wire.with_electronics = smaller(arrives.with_A, with, leave_with[here]);
        wire.without_electronics = smaller(arrives.without_A, without, leave_without[here]);
        if (arrives.without_A == unbounded_A && leave_without[here].capacity == unbounded_A)
            wire.without_electronics = {unbounded_A, {}};
    }

    const Circuit& circuit_;
    const Facts& facts_;
    Capacities capacities_;
    DisjointSets sets_;
    std::uint32_t zones_ = 0;
    std::vector<std::uint32_t> zone_;                       // by NodeId
    std::vector<double> capacity_with_, capacity_without_;  // by EdgeId
    std::vector<bool> forward_zone_;
    std::vector<Injection> arriving_;  // by EdgeId
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
    : circuit_(circuit), facts_(facts), highest_V_(highest_voltage_V(facts)) {}

double Capacities::guard_A(const Edge& edge, bool electronics_count) const {
    switch (edge.role) {
        case EdgeRole::wire:
        case EdgeRole::joint:
        case EdgeRole::contact:
        case EdgeRole::switching:
        case EdgeRole::shunt:
        case EdgeRole::diode:
        case EdgeRole::converter_reverse:
            return unbounded_A;
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

double Capacities::source_A(const Edge& edge, bool electronics_count) const {
    if (edge.role == EdgeRole::emf || !electronics_count) return unbounded_A;
    if (edge.role == EdgeRole::output_pin) return pin_current_A(circuit_, edge);
    if (edge.role == EdgeRole::regeneration)
        return limit_or(facts_, edge.part, "regen"_attr, "regen"_attr, 0);
    return limit_or(facts_, edge.part, "short-circuit"_attr, "output"_attr, 1);
}

}  // namespace loomward
