// The length of wires that run along named stretches: the sum of the stretches and of what the wire has of
// its own.
#pragma once
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

// Of a wire whose `length` holds what it has of its own (nothing: 0 m), in m: ends add to ends; unknown where
// any of it is unknown, an estimate where any of it is one. A wire along no stretch keeps its own length.
Quantity length_along(const Harness& harness, const Wire& wire);

// Fills Wire::along_text of the wires that run along stretches: "0.3 m, along R1 R2". Before estimates are
// spread, so that the text says what was typed.
void name_stretches_of(std::vector<Wire>& wires, const Harness& harness);

}  // namespace loomward
