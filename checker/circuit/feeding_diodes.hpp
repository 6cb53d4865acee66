// Diodes through which a pack can feed, as against those that only catch or give back.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/circuit/disjoint_sets.hpp"

namespace loomward {

// Of all diodes those that are not known to stand against every pack: with the anode on a rail that leads to
// the minus of packs alone (a freewheel diode, one across a rail), or the cathode on one that leads to their
// plus alone (what gives back past a contactor). `nets`: what hangs together over all that conducts but
// diodes.
std::vector<EdgeId> diodes_that_feed(const Circuit& circuit, DisjointSets& nets);

}  // namespace loomward
