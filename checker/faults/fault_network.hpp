// The circuit as a short circuit sees it at one corner: conductors and sources, no loads. What current flows
// when two points are bolted together, in the time of the few conductors that it takes.
//
// A bolted connection changes the current only in the biconnected blocks on the way between its two points
// (the connection closes them into one). They are found once for all faults; of each fault only these edges
// are looked at, and of these whatever lies in series is one branch, so that the equations are few.
#pragma once
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/corner.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// One edge as a short circuit sees it: V(to) - V(from) = voltage_V - I resistance_ohm, I from -> to.
struct FaultBranch {
    bool conducts = false;
    double resistance_ohm = 0;
    double voltage_V = 0;
    double limit_A = std::numeric_limits<double>::infinity();  // of a source that limits itself
    bool one_way = false;                                      // only from -> to: diodes, limited sources
    double charge_As = 0;  // of a capacitor; 0: gives for as long as it is asked
};

class FaultNetwork {
  public:
    // At fault_max conductors are at the coldest ambient of their place and packs are full; at fault_min
    // conductors are at their limit, packs empty and aged. `open` by EdgeId: contacts that stand open (see
    // Positions). Loads, coils and the drivers of pins do not conduct, nor do controllers that give back:
    // they need the voltage that the short takes away. At fault_max a capacitor that holds enough to heat a
    // wire is a source until it is empty.
    FaultNetwork(const Circuit& circuit, const Facts& facts, Corner corner, const std::vector<bool>& open);

    // The edges whose current a bolted connection between two nodes can change; false where no way leads from
    // one to the other, so that nothing flows.
    bool edges_around(NodeId a, NodeId b, std::vector<EdgeId>& edges) const;

    const FaultBranch& branch(EdgeId edge) const { return branches_[edge.index()]; }
    const Circuit& circuit() const { return circuit_; }
    Corner corner() const { return corner_; }

  private:
    void find_ways();
    void charge_capacitors(const Facts& facts);

    const Circuit& circuit_;
    Corner corner_;
    std::vector<FaultBranch> branches_;                // by EdgeId
    std::vector<std::uint32_t> block_of_node_;         // by NodeId: the one towards the root
    std::vector<std::vector<EdgeId>> edges_of_block_;  // empty: leads to the root alone
    std::vector<std::uint32_t> entry_of_block_;
    std::vector<std::uint32_t> depth_of_block_;
};

// Solves one fault after another; keeps its memory between them.
class FaultSolver {
  public:
    explicit FaultSolver(const FaultNetwork& network);

    // Points a and b joined without resistance, the edges of edges_around(a, b) closed unless `opened` (same
    // order) says otherwise. False where the equations have no answer (never seen; reported as not solved).
    bool solve(std::span<const EdgeId> edges, const std::vector<bool>& opened, NodeId a, NodeId b);
    double fault_A() const { return fault_A_; }                       // through the connection, a -> b
    const std::vector<double>& edge_A() const { return current_A_; }  // in the order of `edges`, from -> to

  private:
    struct Arc {  // an edge seen from one of its nodes
        std::uint32_t edge;
        std::uint32_t other;
        int sign;  // +1: the edge leaves this node
    };
    struct Chain {  // edges in series between two key nodes
        std::uint32_t u, v;
        double resistance_ohm = 0, voltage_V = 0;  // u -> v
        double limit_A = std::numeric_limits<double>::infinity();
        int way = 0;    // +1 only u -> v, -1 only v -> u, 0 either
        int state = 0;  // 0 conducts, 1 at its limit, 2 blocks
        double current_A = 0;
        std::size_t first = 0, last = 0;  // into chain_edges_
    };
    std::uint32_t local(NodeId node);
    void list_arcs(std::span<const EdgeId> edges, const std::vector<bool>& opened, NodeId a, NodeId b);
    void find_chains(std::span<const EdgeId> edges);
    void follow(std::uint32_t from, Arc arc, std::span<const EdgeId> edges);
    bool find_currents();
    void find_voltages();
    bool settle_states(bool one_only);

    const FaultNetwork& network_;
    std::vector<std::int32_t> local_of_node_;
    std::vector<NodeId> touched_;
    std::vector<std::vector<Arc>> arcs_;  // by local node
    std::vector<Chain> chains_;
    std::vector<std::pair<std::uint32_t, int>>
        chain_edges_;                  // edge (index into `edges`), sign along the chain
    std::vector<std::uint32_t> keys_;  // local nodes; the first is the fault
    std::vector<std::int32_t> key_of_local_;
    std::vector<bool> taken_;
    std::vector<double> voltage_V_;  // by key
    std::vector<double> current_A_;
    std::vector<int> side_;  // of each edge at the fault: +1 its current arrives at a
    double fault_A_ = 0;
};

}  // namespace loomward
