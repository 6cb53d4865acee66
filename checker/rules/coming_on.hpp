// What can come on from rest: coils that a source reaches, converters whose input and enable one reaches,
// and electronics whose supply one reaches, one after the other. Found on the graph, nothing is solved.
//
// Every switch may close and every driver of what is awake may be on, alone or together; a way through a
// resistor or a load counts. So what cannot come on here cannot at all.
#pragma once
#include <cstddef>
#include <set>
#include <utility>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

class ComingOn {
  public:
    using Parts = std::set<PartId>;

    // `out`: connectors that are unmated, chargers that give nothing. The circuit outlives it.
    ComingOn(const Circuit& circuit, const Parts& out);

    // Whatever has to come on before it does anything for others.
    const Parts& all() const { return all_; }
    // Of all(), those with a coil.
    bool has_coil(PartId part) const { return with_coil_.contains(part); }

    // What is fed with these on. `but` does nothing for others, whatever feeds it.
    Parts fed(const Parts& on, PartId but = {}) const;
    // These and what comes on by them, one after the other.
    Parts follow(Parts on, PartId but = {}) const;

  private:
    struct Source {
        std::size_t plus, minus;                // pieces of leads_
        std::vector<std::size_t> above, below;  // these, and such poles of other sources in line with it
        PartId part;
        bool waits;  // gives nothing until its part is on
    };
    using Nodes = std::vector<bool>;  // by piece
    struct Reach {
        const Source* source;
        Nodes plus, minus;
    };

    struct Barred {
        PartId part;         // does nothing for others
        PartId coil;         // whose coil is no way
        bool coils = false;  // no coil is a way
    };

    static bool gives_to_others(EdgeRole role);
    bool is_wired(NodeId node, EdgeId but) const;
    void find_strings();
    Nodes reached(std::size_t start, const std::vector<std::size_t>& ends, bool forward, const Parts& on,
                  const Barred& but) const;
    std::vector<Reach> reach_of(const Parts& on, const Barred& barred) const;
    bool passes(const Edge& edge, bool along, const Parts& on, const Barred& barred) const;
    bool is_fed(PartId part, const std::vector<Reach>& reach) const;
    bool across(const Edge& edge, const std::vector<Reach>& reach, bool either_way) const;

    const Circuit& circuit_;
    mutable DisjointSets leads_;                // conductors that nobody opens
    std::vector<std::vector<EdgeId>> leaving_;  // by piece of them
    std::vector<bool> rests_closed_;            // by EdgeId
    // From the pin that a controller precharges itself through to its plus, by piece.
    std::vector<std::pair<std::size_t, std::size_t>> own_precharge_;
    Parts all_, with_coil_;
    std::vector<Source> sources_;
};

}  // namespace loomward
