#include "checker/protection/proof.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/positions.hpp"
#include "checker/protection/guard_network.hpp"
#include "checker/protection/loop_bounds.hpp"
#include "checker/protection/return_bounds.hpp"

namespace loomward {
namespace {

class Prover {
  public:
    // `open` by EdgeId: contacts that this position of the selectors leaves open.
    Prover(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open)
        : circuit_(circuit), network_(circuit, facts, open) {}

    Proof prove() {
        proof_.bypassed = network_.bypassed();
        const std::vector<FlowBound> with = network_.forward(true);
        const std::vector<FlowBound> without = network_.forward(false);
        for (const FlowBound& bound : network_.forward(false, false))
            no_fuse_before_.push_back(bound.capacity == unbounded_A);
        find_sides(with);
        const std::vector<ReturnBound> back_with = back(with, true);
        const std::vector<ReturnBound> back_without = back(without, false);
        loops_ = bound_loops(network_, forward_zone_);
        proof_.wires.resize(circuit_.harness->wires.size());
        for (std::size_t i = 0; i < proof_.wires.size(); ++i)
            settle(WireId(i), with, without, back_with, back_without);
        return std::move(proof_);
    }

  private:
    std::uint32_t zone(NodeId node) const { return network_.zone(node); }

    void find_sides(const std::vector<FlowBound>& with) {
        forward_zone_.resize(network_.zone_count());
        for (std::size_t i = 0; i < forward_zone_.size(); ++i) forward_zone_[i] = with[i].capacity > 0;
        proof_.side_of_node.assign(circuit_.node_count(), Side::neither);
        for (std::size_t i = 0; i < circuit_.node_count(); ++i)
            if (forward_zone_[zone(NodeId(i))]) proof_.side_of_node[i] = Side::forward;
    }

    bool has_no_fuse(const Bound& bound) const {
        return std::none_of(bound.cut.begin(), bound.cut.end(), [&](EdgeId id) {
            const EdgeRole role = circuit_.edge(id).role;
            return is_protective(role) || role == EdgeRole::resistor;
        });
    }

    // Returns: the loads' feeds are known now; what leaves is the sources' own.
    std::vector<ReturnBound> back(const std::vector<FlowBound>& feeds, bool electronics) {
        ReturnNetwork network;
        DisjointSets together(circuit_.node_count());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& edge = circuit_.edges[i];
            const bool from_fed = forward_zone_[zone(edge.from)], to_fed = forward_zone_[zone(edge.to)];
            const double capacity = network_.capacity_A(EdgeId(i), electronics);
            if (is_source(edge.role)) {
                if (!from_fed) network.drains.push_back({EdgeId(i), edge.from, network_.source_A(edge)});
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
            const auto loop = loops_.find(edge_id.value);
            const bool alone = loop == loops_.end();
            wire.with_electronics = bound_of(alone ? with[here] : loop->second.with_electronics);
            wire.without_electronics = bound_of(alone ? without[here] : loop->second.without_electronics);
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
    GuardNetwork network_;
    std::vector<bool> forward_zone_;
    std::vector<bool> no_fuse_before_;  // by zone: some source reaches it past no fuse, breaker or resistor
    std::unordered_map<std::uint32_t, LoopBound> loops_;  // by EdgeId
    Proof proof_;
};

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
