// The circuit as a short circuit sees it at one corner: conductors and sources, no loads. What current flows
// when two points are bolted together, in the time of the few conductors that it takes.
//
// Of each fault only what lies between its two points is looked at (fault_lines.hpp), and of that whatever is
// in series is one branch, so that the equations are few.
#pragma once
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"
#include "checker/faults/fault_lines.hpp"
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

    const FaultLines& lines() const { return *lines_; }
    const FaultBranch& branch(EdgeId edge) const { return branches_[edge.index()]; }
    const Circuit& circuit() const { return circuit_; }
    Corner corner() const { return corner_; }

  private:
    void lay_lines();
    void charge_capacitors(const Facts& facts, const std::vector<bool>& open);

    const Circuit& circuit_;
    Corner corner_;
    std::vector<FaultBranch> branches_;  // by EdgeId
    std::optional<FaultLines> lines_;
};

// Solves one fault after another; keeps its memory between them.
class FaultSolver {
  public:
    explicit FaultSolver(const FaultNetwork& network);

    // Points a and b joined without resistance, the pieces between them closed unless `opened` (same order)
    // says otherwise. False where the equations have no answer (never seen; reported as not solved).
    bool solve(std::span<const FaultPiece> pieces, const std::vector<bool>& opened, NodeId a, NodeId b);
    // Whether a source lies in a loop of what is left of the pieces that were solved last: where none does,
    // nothing flows.
    bool may_flow(std::span<const FaultPiece> pieces, const std::vector<bool>& opened);
    double fault_A() const { return fault_A_; }                        // through the connection, a -> b
    const std::vector<double>& piece_A() const { return current_A_; }  // in the order of `pieces`, from -> to

  private:
    struct Arc {  // a piece seen from one of its nodes
        std::uint32_t piece;
        std::uint32_t other;
        int sign;  // +1: the piece leaves this node
    };
    struct Chain {  // pieces in series between two key nodes
        std::uint32_t u, v;
        double resistance_ohm = 0, voltage_V = 0;  // u -> v
        double limit_A = std::numeric_limits<double>::infinity();
        int way = 0;    // +1 only u -> v, -1 only v -> u, 0 either
        int state = 0;  // 0 conducts, 1 at its limit, 2 blocks
        double current_A = 0;
        std::size_t first = 0, last = 0;  // into chain_pieces_
    };
    std::uint32_t local(NodeId node);
    void list_arcs(std::span<const FaultPiece> pieces, const std::vector<bool>& opened, NodeId a, NodeId b);
    void find_chains(std::span<const FaultPiece> pieces);
    void follow(std::uint32_t from, Arc arc, std::span<const FaultPiece> pieces);
    bool find_currents();
    void find_voltages();
    void find_few_voltages(std::ptrdiff_t unknowns);
    void find_many_voltages(std::ptrdiff_t unknowns);
    template <class Add, class Column>
    void list_equations(Add add, Column& right) const;
    bool settle_states(bool one_only);

    const FaultNetwork& network_;
    std::vector<std::int32_t> local_of_node_;
    std::vector<NodeId> touched_;
    std::vector<std::vector<Arc>> arcs_;                         // by local node
    std::vector<std::pair<std::uint32_t, std::uint32_t>> ends_;  // local nodes of each piece
    std::vector<Chain> chains_;
    std::vector<std::pair<std::uint32_t, int>> chain_pieces_;  // index into `pieces`, sign along the chain
    std::vector<std::uint32_t> keys_;                          // local nodes; the first is the fault
    std::vector<std::int32_t> key_of_local_;
    std::vector<bool> taken_;
    DisjointSets together_{0};       // local nodes
    std::vector<double> voltage_V_;  // by key
    std::vector<double> current_A_;
    std::vector<int> side_;  // of each piece at the fault: +1 its current arrives at a
    double fault_A_ = 0;
};

}  // namespace loomward
