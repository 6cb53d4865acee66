// What one edge of the circuit is worth at a corner: its resistance, voltage, setting. The model of each kind
// (design: "The circuit and its parts"). Defaults that are worked out here go on the assumption list.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/corner.hpp"
#include "checker/parts/facts.hpp"
#include "checker/solver/network.hpp"

namespace loomward {

// Whether a current may pass a switching edge in a state: contacts of switches, relays, selectors,
// connectors. Everything that has no state counts as closed.
bool is_closed(const Circuit& circuit, const Mode& mode, const Edge& edge);
// By EdgeId: what a mode does not close.
std::vector<bool> open_in(const Circuit& circuit, const Mode& mode);

// Whether a mode has a charger, or an inverter as one, give a current.
bool delivers(const Mode& mode, PartId part);

// Which end of a spread: resistances are smallest at fault_max, largest at fault_min and run_hot; run_full
// takes the smallest resistance and the full pack.
bool takes_largest_resistance(Corner corner);

// Resistance of a conductor, contact, fuse, coil ... in ohm, at least 1e-7. `conductor_degC` is used for
// wires.
double resistance_ohm(const Circuit& circuit, const Facts& facts, const Edge& edge, Corner corner,
                      double conductor_degC);

// A pack section: open-circuit voltage and resistance between its ends; nullopt where the user does not know.
struct PackSection {
    double voltage_V = 0;
    double resistance_ohm = 0;
};
std::optional<PackSection> pack_section(const Circuit& circuit, const Facts& facts, const Edge& edge,
                                        Corner corner);

// The pin that an edge of a pin belongs to (supply_pin, output_pin, low_side, high_side), and what its line
// says that it gives, stands or draws; nullopt: nothing, or it is not known.
const DevicePin& pin_of(const Harness& harness, const Edge& edge);
std::optional<Quantity> pin_voltage(const Harness& harness, const DevicePin& pin);
std::optional<Quantity> pin_current(const Harness& harness, const DevicePin& pin);
std::optional<Quantity> pin_current(const Harness& harness, TerminalId terminal);  // nullopt: no pin, too

// What a converter's output or a pin that supplies gives at the most; nullopt where a figure is unknown.
struct Output {
    double voltage_V = 0;  // at its lowest
    double current_A = 0;
};
std::optional<Output> output_of(const Facts& facts, const Edge& edge);
// The attribute that says what voltage (place 0) and current (place 1) a part of that kind gives: `charges`
// of an inverter, else `output`.
Attr output_attribute(Kind kind);
Attr output_attribute(const Harness& harness, PartId part);

// Full and empty voltage of a whole pack at its terminals; nullopt where unknown.
std::optional<Quantity> pack_voltage(const Facts& facts, PartId pack);

// The largest current a controller takes from its supply at its settings, A, with the working as text:
// "96 A = 300 A x 80 % x 40 %". nullopt where a figure is unknown.
struct Setting {
    double current_A = 0;
    std::string working;
};
std::optional<Setting> supply_limit(const Facts& facts, PartId controller);
// The same, of an inverter at the lowest voltage that its pack has under load, where that is above the lowest
// that it works at: what its supply is asked for.
std::optional<Setting> asked_of_supply(const Facts& facts, PartId controller);
// What an inverter draws at its rated power, W: rated output power / efficiency, at the worst of both; of an
// efficiency that nobody knows 80 % is taken. nullopt: its power is not known.
std::optional<double> rated_input_W(const Facts& facts, PartId inverter);
// The largest phase current at its settings, A.
std::optional<Setting> phase_limit(const Facts& facts, PartId controller);

// The policy-limited largest conductor temperature of a wire.
double conductor_limit_degC(const Facts& facts, WireId wire);

}  // namespace loomward
