#include "checker/protection/guard_network.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {
namespace {

// Which ends a part has that uses a current or may fail as a short: plus, then minus.
std::pair<NodeId, NodeId> ends_of_load(const Edge& edge) {
    switch (edge.role) {
        case EdgeRole::load:
        case EdgeRole::controller:
        case EdgeRole::converter_input:
        case EdgeRole::coil:
        case EdgeRole::supply_pin:
        case EdgeRole::low_side:
        case EdgeRole::capacitor:
            return {edge.from, edge.to};
        case EdgeRole::charger:
        case EdgeRole::converter_output:
        case EdgeRole::emf:  // one that is charged
            return {edge.to, edge.from};
        default:
            return {};
    }
}

}  // namespace

GuardNetwork::GuardNetwork(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open,
                           std::span<const EdgeId> pressed)
    : circuit_(circuit), capacities_(circuit, facts) {
    const std::size_t edges = circuit.edges.size();
    conducts_.resize(edges);
    with_.resize(edges);
    without_.resize(edges);
    for (std::size_t i = 0; i < edges; ++i) {
        const Edge& edge = circuit.edges[i];
        with_[i] = open[i] ? -1 : capacities_.guard_A(edge, true);
        without_[i] = open[i] ? -1 : capacities_.guard_A(edge, false);
        conducts_[i] = with_[i] >= 0;
        if (is_source(edge.role) && edge.role != EdgeRole::emf && capacities_.source_A(edge) == unbounded_A)
            unknown_sources_ = true;
    }
    find_sides();
    find_loads();
    add_pressed(pressed);
    contract();
    find_returns();
}

bool GuardNetwork::passes(EdgeId id, NodeId from) const {
    const Edge& edge = circuit_.edge(id);
    return conducts_[id.index()] && (!one_way(edge.role) || edge.from == from);
}

void GuardNetwork::spread(std::vector<bool>& reached, bool along, bool resistors,
                          const std::vector<bool>& but_not) const {
    std::vector<NodeId> queue;
    for (std::size_t i = 0; i < reached.size(); ++i)
        if (reached[i]) queue.emplace_back(i);
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const Incidence& next : circuit_.at(queue[head])) {
            if (reached[next.other.index()] || !passes(next.edge, along ? queue[head] : next.other)) continue;
            if (circuit_.edge(next.edge).role == EdgeRole::resistor && !resistors) continue;
            if (resistors && but_not[next.other.index()]) continue;
            reached[next.other.index()] = true;
            queue.push_back(next.other);
        }
}

// What a resistor alone leads to counts for the side that it hangs on; one across the supply is a load.
void GuardNetwork::find_sides() {
    const std::vector<EdgeId> overcome = limited_shorts();
    forward_.assign(circuit_.node_count(), false);
    back_ = forward_;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
        if (const Edge& edge = circuit_.edges[i];
            is_source(edge.role) && !std::binary_search(overcome.begin(), overcome.end(), EdgeId(i)))
            forward_[edge.to.index()] = back_[edge.from.index()] = true;
    spread_sides();
    if (overcome.empty()) return;
    const auto reached = [this](NodeId node) { return forward(node) || back(node); };
    std::vector<const Edge*> alone;
    for (const EdgeId id : overcome)
        if (const Edge& edge = circuit_.edge(id); !reached(edge.to) && !reached(edge.from))
            alone.push_back(&edge);
    for (const Edge* edge : alone) forward_[edge->to.index()] = back_[edge->from.index()] = true;
    spread_sides();
}

void GuardNetwork::spread_sides() {
    spread(forward_, true, false, {});
    spread(back_, false, false, {});
    spread(forward_, true, true, back_);
    spread(back_, false, true, forward_);
}

// Sources that limit themselves, shorted in this position, say an output pin that a lever pulls to minus:
// they do not make plus and minus of everything else one side.
std::vector<EdgeId> GuardNetwork::limited_shorts() const {
    DisjointSets joined(circuit_.node_count());
    const auto conducts = [this](std::size_t i, bool diodes) {
        const Edge& edge = circuit_.edges[i];
        return conducts_[i] && edge.role != EdgeRole::resistor && one_way(edge.role) == diodes;
    };
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
        if (conducts(i, false)) joined.join(circuit_.edges[i].from.index(), circuit_.edges[i].to.index());
    const auto ends = [&](NodeId from, NodeId to) {
        return std::pair(joined.find(from.index()), joined.find(to.index()));
    };
    std::set<std::pair<std::size_t, std::size_t>> led_on;  // by a diode
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
        if (conducts(i, true)) led_on.insert(ends(circuit_.edges[i].from, circuit_.edges[i].to));
    std::vector<EdgeId> shorts;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (!is_source(edge.role) || edge.role == EdgeRole::emf) continue;
        const auto [plus, minus] = ends(edge.to, edge.from);
        if (plus == minus || led_on.contains({plus, minus})) shorts.emplace_back(i);
    }
    return shorts;
}

// A current falls from plus to minus: nothing flows out of the minus side, or into the plus side, through
// something that uses a current.
void GuardNetwork::find_loads() {
    const auto falls = [&](NodeId a, NodeId b) {
        return !(minus_side(a)) && !(plus_side(b) && !plus_side(a));
    };
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        double limit_A = unbounded_A;
        auto [plus, minus] = ends_of_load(edge);
        const bool across = edge.role == EdgeRole::resistor && conducts_[i] &&
                            (plus_side(edge.from) != plus_side(edge.to)) &&
                            (minus_side(edge.from) != minus_side(edge.to));
        if (across) {
            plus = edge.from;
            minus = edge.to;
            limit_A = with_[i];
            conducts_[i] = false;
        }
        if (!plus || plus == minus) continue;
        // What feeds: only the other way counts here.
        const bool fixed = is_source(edge.role);
        if (falls(plus, minus))
            loads_.push_back({EdgeId(i), plus, minus, !fixed && falls(minus, plus), limit_A});
        else if (!fixed && falls(minus, plus))
            loads_.push_back({EdgeId(i), minus, plus, false, limit_A});
    }
}

void GuardNetwork::add_pressed(std::span<const EdgeId> pressed) {
    for (const EdgeId id : pressed) {
        const Edge& edge = circuit_.edge(id);
        for (const auto& [plus, minus] : {std::pair(edge.from, edge.to), std::pair(edge.to, edge.from)})
            if (plus_side(plus) && minus_side(minus) && !plus_side(minus))
                loads_.push_back({id, plus, minus});
    }
}

// Nodes joined by plain conductors are one zone; the edges between zones are devices.
void GuardNetwork::contract() {
    DisjointSets sets(circuit_.node_count());
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (conducts_[i] && with_[i] == unbounded_A && !one_way(edge.role) && !opens_on_current(edge.role) &&
            edge.role != EdgeRole::high_side)
            sets.join(edge.from.index(), edge.to.index());
    }
    zone_.assign(circuit_.node_count(), 0);
    std::vector<std::uint32_t> number(circuit_.node_count(), not_there);
    for (std::size_t i = 0; i < circuit_.node_count(); ++i) {
        std::uint32_t& of_root = number[sets.find(i)];
        if (of_root == not_there) of_root = zones_++;
        zone_[i] = of_root;
    }
}

void GuardNetwork::find_returns() {
    returns_.assign(zones_, false);
    for (const Load& load : loads_)
        if (minus_side(load.minus) && circuit_.edge(load.edge).role != EdgeRole::emf)
            returns_[zone(load.minus)] = true;
    for (std::size_t i = 0; i < circuit_.harness->parts.size(); ++i) {
        const Part& part = circuit_.harness->parts[i];
        if (part.kind != Kind::frame) continue;
        for (std::size_t k = 0; k < part.terminals.count; ++k) {
            const NodeId node = circuit_.node(TerminalId(part.terminals.first + k));
            if (minus_side(node)) returns_[zone(node)] = true;
        }
    }
    // A source that no load hangs on: its own minus is what there is.
    DisjointSets together(circuit_.node_count());
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (conducts_[i] && !forward(edge.from) && !forward(edge.to))
            together.join(edge.from.index(), edge.to.index());
    }
    DisjointSets joined(circuit_.node_count());
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
        if (conducts_[i]) joined.join(circuit_.edges[i].from.index(), circuit_.edges[i].to.index());
    shorted_.assign(circuit_.edges.size(), false);
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        shorted_[i] = is_source(edge.role) && joined.same(edge.from.index(), edge.to.index());
    }
    std::vector<bool> has_return(circuit_.node_count(), false);
    for (std::size_t i = 0; i < circuit_.node_count(); ++i)
        if (is_return(NodeId(i))) has_return[together.find(i)] = true;
    for (const Edge& edge : circuit_.edges)
        if (is_source(edge.role) && minus_side(edge.from) && !has_return[together.find(edge.from.index())])
            returns_[zone(edge.from)] = true;
}

double GuardNetwork::there_A(EdgeId id, const GuardView& view) const {
    if (!conducts_[id.index()]) return 0;
    return view.electronics ? with_[id.index()] : without_[id.index()];
}
double GuardNetwork::back_A(EdgeId id, const GuardView& view) const {
    return one_way(circuit_.edge(id).role) ? 0 : there_A(id, view);
}
double GuardNetwork::chafed_there_A(EdgeId id, const GuardView& view) const {
    const Edge& edge = circuit_.edge(id);
    GuardView here = view;
    const bool opens = edge.role == EdgeRole::trip || edge.role == EdgeRole::protector;
    if (opens && !forward(edge.from)) here.electronics = false;
    return there_A(id, here);
}
double GuardNetwork::chafed_back_A(EdgeId id, const GuardView& view) const {
    return one_way(circuit_.edge(id).role) ? 0 : chafed_there_A(id, view);
}
double GuardNetwork::source_A(EdgeId id, const GuardView& view) const {
    const Edge& edge = circuit_.edge(id);
    if (!is_source(edge.role)) return 0;
    const double most_A = capacities_.source_A(edge);
    if (edge.role != EdgeRole::emf && most_A == unbounded_A && !view.unknown) return 0;
    return view.limits ? most_A : unbounded_A;
}
bool GuardNetwork::has_electronics() const {
    for (std::size_t i = 0; i < with_.size(); ++i)
        if (conducts_[i] && with_[i] != without_[i]) return true;
    return false;
}

std::vector<EdgeId> GuardNetwork::bypassed() const {
    std::vector<EdgeId> devices;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (is_protective(edge.role) && zone(edge.from) == zone(edge.to)) devices.push_back(EdgeId(i));
    }
    return devices;
}

std::vector<FlowEdge> GuardNetwork::chafed_edges(const GuardView& view, std::vector<EdgeId>& edge_of) const {
    std::vector<FlowEdge> edges;
    const auto vertex = [&](NodeId node) { return is_return(node) ? return_vertex() : zone(node); };
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        const EdgeId id(i);
        const bool source = is_source(edge.role);
        const double there = source ? source_A(id, view) : chafed_there_A(id, view);
        const double back = source ? 0 : chafed_back_A(id, view);
        const std::uint32_t a = is_shorted(id) ? return_vertex() : vertex(edge.from), b = vertex(edge.to);
        if (a == b || (there <= 0 && back <= 0)) continue;
        // Nothing gets from the minus side to the plus side but through a source.
        if (!source && forward(edge.from) != forward(edge.to)) continue;
        edges.push_back({a, b, there, back});
        edge_of.push_back(id);
    }
    return edges;
}

std::vector<FlowBound> GuardNetwork::chafed(const GuardView& view) const {
    std::vector<EdgeId> edge_of;
    const std::vector<FlowEdge> edges = chafed_edges(view, edge_of);
    return in_circuit_edges(flows_from(return_vertex(), zones_ + 1, edges), edge_of);
}

std::vector<FlowBound> in_circuit_edges(std::vector<FlowBound> bounds, const std::vector<EdgeId>& edge_of) {
    for (FlowBound& bound : bounds)
        for (std::uint32_t& edge : bound.cut) edge = edge_of[edge].value;
    return bounds;
}

}  // namespace loomward
