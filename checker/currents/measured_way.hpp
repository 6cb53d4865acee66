// One way a current takes from one terminal to another, with what it loses on each piece.
#pragma once
#include <optional>
#include <vector>

#include "checker/currents/loading.hpp"

namespace loomward {

struct WayPiece {
    EdgeId edge;
    double resistance_ohm = 0;  // the largest of its spread, conductors at the limit of their insulation
    double drop_V = 0;
};

struct MeasuredWay {
    double current_A = 0;
    double drop_V = 0;
    std::vector<WayPiece> pieces;  // from the first terminal to the second
};

// The way of least resistance through wires, joints, contacts, protective devices and shunts; every contact
// counts as closed, and nothing that uses current (a load, a resistor, a coil, a converter) is passed.
// `current_A` of 0 or less: the largest continuous current that any wire of the way carries in any mode, or
// 1 A where none does. nullopt: there is no such way.
std::optional<MeasuredWay> measured_way(const Circuit& circuit, const std::vector<WireLoading>& wires,
                                        TerminalId from, TerminalId to, double current_A);

}  // namespace loomward
