#include "checker/protection/proof.hpp"

#include <algorithm>

#include "checker/parts/positions.hpp"
#include "checker/protection/guard_network.hpp"
#include "checker/protection/loop_bounds.hpp"
#include "checker/protection/return_bounds.hpp"

namespace loomward {
namespace {

// Of all wires under one view.
struct Bounds {
    std::vector<Bound> wires;   // by WireId
    std::vector<EdgeId> loads;  // by WireId: what lets an endless current into a return
};

class Prover {
  public:
    // `open` by EdgeId: contacts that this position of the selectors leaves open.
    Prover(const Circuit& circuit, const Facts& facts, std::span<const BarPair> pairs,
           const std::vector<bool>& open, std::span<const EdgeId> pressed)
        : circuit_(circuit), network_(circuit, facts, open, pressed), pairs_(pairs) {}

    Proof prove() {
        proof_.bypassed = network_.bypassed();
        find_sides();
        const Bounds with = known_bounds({true, true, true});
        const Bounds without = network_.has_electronics() ? known_bounds({false, true, true}) : with;
        proof_.wires.resize(circuit_.harness->wires.size());
        for (std::size_t i = 0; i < proof_.wires.size(); ++i) settle(i, with, without);
        find_what_no_fuse_guards();
        return std::move(proof_);
    }

  private:
    const Edge& edge_of(std::size_t wire) const { return circuit_.edge(circuit_.edge_of_wire[wire]); }

    void find_sides() {
        proof_.side_of_node.assign(circuit_.node_count(), Side::neither);
        for (std::size_t i = 0; i < circuit_.node_count(); ++i) {
            if (network_.back(NodeId(i))) proof_.side_of_node[i] = Side::back;
            if (network_.forward(NodeId(i))) proof_.side_of_node[i] = Side::forward;
        }
    }

    Bounds bounds(const GuardView& view) const {
        const std::vector<FlowBound> chafed = network_.chafed(view);
        const auto returns = bound_returns(network_, view, chafed, pairs_);
        Bounds all;
        all.wires.resize(circuit_.harness->wires.size());
        all.loads.resize(all.wires.size());
        for (std::size_t i = 0; i < all.wires.size(); ++i) {
            if (network_.forward(edge_of(i).from)) {
                all.wires[i] = bound_of(chafed[network_.zone(edge_of(i).from)]);
            } else if (const auto home = returns.find(circuit_.edge_of_wire[i].value);
                       home != returns.end()) {
                all.wires[i] = bound_of(home->second.bound);
                all.loads[i] = home->second.load;
            }
        }
        bound_loops(network_, view, chafed, [&](EdgeId wire, const FlowBound& bound) {
            if (network_.forward(circuit_.edge(wire).from))
                all.wires[circuit_.edge(wire).wire.index()] = bound_of(bound);
        });
        return all;
    }
    // What a source of unknown limit adds is not known; what flows without it does all the same.
    Bounds known_bounds(const GuardView& view) const {
        Bounds all = bounds(view);
        if (!network_.has_unknown_sources()) return all;
        const Bounds least = bounds({view.electronics, view.limits, false});
        for (std::size_t i = 0; i < all.wires.size(); ++i)
            if (all.wires[i].current_A == unbounded_A && least.wires[i].current_A > 0) {
                all.wires[i] = least.wires[i];
                all.loads[i] = least.loads[i];
            }
        return all;
    }
    static Bound bound_of(const FlowBound& flow) {
        Bound bound{flow.capacity, {}, flow.other_way};
        for (const std::uint32_t edge : flow.cut) bound.cut.emplace_back(edge);
        std::sort(bound.cut.begin(), bound.cut.end());
        return bound;
    }

    void settle(std::size_t i, const Bounds& with, const Bounds& without) {
        WireProof& wire = proof_.wires[i];
        wire.side = proof_.side_of_node[edge_of(i).from.index()];
        if (wire.side == Side::neither && with.wires[i].current_A > 0) wire.side = Side::back;
        if (wire.side == Side::neither) return;
        wire.with_electronics = with.wires[i];
        wire.without_electronics = without.wires[i];
        wire.worst_load = with.loads[i];
    }

    // What is left where sources do not limit themselves: without end, where nothing but their limit counts.
    void find_what_no_fuse_guards() {
        const auto only_limits = [&](const WireProof& wire) {
            const Bound& bound = wire.without_electronics;
            return bound.current_A > 0 && bound.current_A < unbounded_A &&
                   std::none_of(bound.cut.begin(), bound.cut.end(), [&](EdgeId id) {
                       const EdgeRole role = circuit_.edge(id).role;
                       return is_protective(role) || role == EdgeRole::resistor;
                   });
        };
        if (std::none_of(proof_.wires.begin(), proof_.wires.end(), only_limits)) return;
        const Bounds endless = bounds({false, false, true});
        for (std::size_t i = 0; i < proof_.wires.size(); ++i)
            proof_.wires[i].no_fuse =
                only_limits(proof_.wires[i]) && endless.wires[i].current_A == unbounded_A;
    }

    const Circuit& circuit_;
    GuardNetwork network_;
    std::span<const BarPair> pairs_;
    Proof proof_;
};

void keep_worse(Bound& worst, const Bound& other) {
    const double by_others_A = worst.cut == other.cut ? 0 : std::min(worst.current_A, other.current_A);
    const double other_way_A = std::max({by_others_A, worst.other_way_A, other.other_way_A});
    if (other.current_A > worst.current_A) worst = other;
    worst.other_way_A = other_way_A;
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

Proof prove_guards(const Circuit& circuit, const Facts& facts, std::span<const BarPair> pairs) {
    const Positions positions(circuit);
    Proof worst;
    for (std::size_t number = 0; number < positions.count(); ++number) {
        const std::vector<bool> open = positions.open(number);
        Proof proof = Prover(circuit, facts, pairs, open, positions.left_open()).prove();
        if (number == 0)
            worst = std::move(proof);
        else
            merge(worst, proof);
    }
    return worst;
}

std::vector<WireGuards> wire_guards(const Circuit& circuit, const Proof& proof) {
    std::vector<WireGuards> all;
    all.reserve(proof.wires.size());
    for (const WireProof& proved : proof.wires) {
        WireGuards wire{{}, proved.unguarded(), proved.electronic_only()};
        for (const EdgeId device : proved.guarding().cut)
            if (opens_on_current(circuit.edge(device).role))
                wire.devices.push_back(circuit.edge(device).part);
        std::sort(wire.devices.begin(), wire.devices.end());
        wire.devices.erase(std::unique(wire.devices.begin(), wire.devices.end()), wire.devices.end());
        all.push_back(std::move(wire));
    }
    return all;
}

}  // namespace loomward
