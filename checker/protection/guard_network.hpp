// The circuit as the proof of checker/proof sees it: which points lie on the plus side and which on the minus
// side, what lets how much pass for long between them, and points joined by plain conductors as one zone.
#pragma once
#include <span>
#include <vector>

#include "checker/circuit/flow.hpp"
#include "checker/parts/capacities.hpp"

namespace loomward {

// What counts as conducting in one look at the network.
struct GuardView {
    bool electronics = true;  // the trips of a BMS count
    bool limits = true;       // sources that limit themselves are taken at their word
    bool unknown = true;  // ... and what a source of unknown limit gives is without end; else it is nothing
};

class GuardNetwork {
  public:
    // `open` by EdgeId: contacts that this position of the selectors leaves open. `pressed`: of those, what
    // no mode closes and what would short a pack: whoever closes it makes a load of it that draws what comes.
    // Both outlive the network.
    GuardNetwork(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open,
                 std::span<const EdgeId> pressed = {});

    const Circuit& circuit() const { return circuit_; }
    // Some source's plus reaches it past devices and contacts, but no load; it leads back to some minus. Both
    // between packs in series, neither between two loads in series.
    bool forward(NodeId node) const { return forward_[node.index()]; }
    bool back(NodeId node) const { return back_[node.index()]; }
    bool plus_side(NodeId node) const { return forward(node) && !back(node); }
    bool minus_side(NodeId node) const { return back(node) && !forward(node); }

    std::uint32_t zone_count() const { return zones_; }
    std::uint32_t zone(NodeId node) const { return zone_[node.index()]; }
    // Of what conducts, from `from` to `to` and the other way; 0: not at all.
    double there_A(EdgeId edge, const GuardView& view) const;
    double back_A(EdgeId edge, const GuardView& view) const;
    // The same on the way of a chafed conductor's current: electronics in the minus are no guard of the plus.
    double chafed_there_A(EdgeId edge, const GuardView& view) const;
    double chafed_back_A(EdgeId edge, const GuardView& view) const;
    bool conducts(EdgeId edge) const { return conducts_[edge.index()]; }
    // Sources: what they push out of their plus. 0 for everything else.
    double source_A(EdgeId edge, const GuardView& view) const;
    bool has_unknown_sources() const { return unknown_sources_; }
    bool has_electronics() const;

    // What uses a current, or may fail so that it draws one: from `plus` to `minus`, and back where both may
    // be either. `limit_A`: a resistor draws no more than its resistance lets it.
    struct Load {
        EdgeId edge;
        NodeId plus, minus;
        bool both_ways = false;
        double limit_A = unbounded_A;
    };
    const std::vector<Load>& loads() const { return loads_; }

    // What a forward conductor that chafes through meets: bonded frames, and the returns of all loads. One
    // vertex in flows, as all of them could be met.
    std::uint32_t return_vertex() const { return zones_; }
    bool is_return(NodeId node) const { return returns_[zone(node)]; }
    // Conductors and devices join its poles: a short in this position, with no side that leads home. What it
    // pushes out counts as if it came straight from the returns.
    bool is_shorted(EdgeId source) const { return shorted_[source.index()]; }
    // Bounds of all zones, for a current that is taken from there straight to the returns: it leaves the
    // sources' plus, and what guards the minus between the returns and the source guards here too. Cuts are
    // edges of the circuit.
    std::vector<FlowBound> chafed(const GuardView& view) const;
    // The network behind it, for those who walk it: vertices are zones and the return vertex.
    std::vector<FlowEdge> chafed_edges(const GuardView& view, std::vector<EdgeId>& edge_of) const;
    // Fuses and breakers whose two ends lie in one zone.
    std::vector<EdgeId> bypassed() const;

  private:
    void find_sides();
    void spread_sides();
    std::vector<EdgeId> limited_shorts() const;
    void spread(std::vector<bool>& reached, bool along, bool resistors,
                const std::vector<bool>& but_not) const;
    void find_loads();
    void add_pressed(std::span<const EdgeId> pressed);
    void contract();
    void find_returns();
    bool passes(EdgeId edge, NodeId from) const;

    const Circuit& circuit_;
    Capacities capacities_;
    std::vector<bool> conducts_;  // by EdgeId
    std::vector<double> with_, without_;
    std::vector<bool> forward_, back_;  // by NodeId
    std::vector<Load> loads_;
    std::uint32_t zones_ = 0;
    std::vector<std::uint32_t> zone_;  // by NodeId
    std::vector<bool> returns_;        // by zone
    std::vector<bool> shorted_;        // by EdgeId
    bool unknown_sources_ = false;
};

// The same bounds with the edges that `edge_of` stands for in their cuts.
std::vector<FlowBound> in_circuit_edges(std::vector<FlowBound> bounds, const std::vector<EdgeId>& edge_of);

}  // namespace loomward
