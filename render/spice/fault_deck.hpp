// The first moment of a short circuit as a deck for a general circuit simulator (SPICE 3).
//
// Conductors are resistors, packs and charged capacitors voltages with a resistance, what limits itself a
// voltage or, at its limit, a current, what gives nothing is left out, and the place a voltage source of 0 V,
// Vfault, whose current is the prospective short-circuit current. No device has opened yet. Loads, coils and
// controllers that give back are not in it.
#pragma once
#include "checker/faults/fault.hpp"
#include "render/spice/spice_deck.hpp"

namespace loomward {

// `account` as FaultStudy::account gives it. The last node of the deck's list is that of Vfault's plus.
SpiceDeck fault_deck(const FaultNetwork& network, const FaultAccount& account, const std::string& title);

}  // namespace loomward
