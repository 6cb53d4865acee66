// Modes that do not say what closes first.
#pragma once
#include "checker/switching/transients.hpp"

namespace loomward {

// In a mode of the program's own (Mode::own) everything closes at once, and nobody says in which order it
// does. Whether the current that this contact closes onto passes one that a resistor lies round in this state
// of all others (a precharge relay with its resistor, the precharge pin of a controller): then something is
// there to precharge by (a resistor that charges it within a minute), and nothing follows from how large the
// current would be. Always false in a mode of the text.
bool may_be_precharged(const Circuit& circuit, const Facts& facts, const ModeEntry& entry, EdgeId contact);

}  // namespace loomward
