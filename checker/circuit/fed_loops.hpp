// What lies in a loop with a source: what a current can reach at all.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

enum class Feeding : std::uint8_t {
    fed,
    no_source,  // no loop through it has a source in it
    joined,     // both its ends are one point, whatever stands open or closed
    bypassed,   // contacts that are closed join its ends
};

// By EdgeId, for one combination of positions; `open` are the contacts that it leaves open, every other one
// counts as closed. What is joined without resistance counts as one point, so that two loads on a dead bar,
// or on a minus bar that leads nowhere, do not feed each other: their ring touches the rest of the circuit in
// one point only. Loads in series do lie in the loop of their source.
std::vector<Feeding> find_feeding(const Circuit& circuit, const std::vector<bool>& open);

// Closed contacts that join the ends of an edge, those next to one of its ends: what has to open for a
// voltage to stand there. `from_first`: next to edge.from, else to edge.to.
std::vector<EdgeId> bypassing(const Circuit& circuit, const std::vector<bool>& open, EdgeId edge,
                              bool from_first);

}  // namespace loomward
