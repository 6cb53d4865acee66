// Modes that the program made for a text without any (parser/modes/own_modes.hpp), settled by what the wiring
// allows: nobody said them, so nobody is to blame for them.
#pragma once
#include <memory>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "parser/harness.hpp"

namespace loomward {

// A part that such a mode leaves at rest although everything else in it is on.
struct LeftAtRest {
    PartId part;
    PartId shorts;  // the source whose poles it would join; invalid: its coil gets no voltage
};

// The harness with its own modes settled, or the same harness where it has modes of its text:
//   - of the contacts that join the two poles of a source when all are closed (of two contactors that
//     reverse a motor, say), one is left at rest: the one without which most is fed, of equals the last in
//     the text, but never the one without which nothing is fed. What is shorted at rest already stays so, and is told;
//   - a contactor or relay whose coil is wired pulls in if its coil then has a voltage, else it stays
//     released; at rest as well, where a key is closed at rest. By the solved voltages, packs full and
//     controllers drawing nothing: it lets go below 0.3 x, pulls above 0.85 x its rated voltage, as rule
//     mode-contradicts judges what a text says. A coil that breaks its own circuit stays released.
// A coil that is not wired at both ends is pulled by something that the text does not show, and stays pulled.
// What was left at rest with everything on is added to `left`, in the order of the parts. Of the modes between
// them (Harness::modes_between) those follow behind all others in which more flows somewhere, or stands across
// a consumer or coil, than in any before; a drive that they feed through a resistor asks for nothing.
std::shared_ptr<const Harness> settle_own_modes(std::shared_ptr<const Harness> harness,
                                                std::vector<LeftAtRest>& left);

// Whether something lands on both ends of a coil, or on what is one point with them.
bool is_wired(const Circuit& circuit, const Edge& coil);

}  // namespace loomward
