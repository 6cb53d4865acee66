// A harness on the bench: what a meter shows between two of its points, cold or with a pack on it. The same
// code says what to expect (values at either end of their spread) and stands for the real machine in tests
// (values in between, and another circuit where something is wired otherwise).
#pragma once
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/mode_network.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// How everything stands: the postures of a mode, with fuses out (`open`), plugs parted, switches as somebody
// sets them. Packs and chargers are apart: whether they are on is not a posture.
struct BenchState {
    Mode postures;
    bool packs_on = false;
    bool chargers_on = false;
};

// Where no current can flow, and what bounds nothing.
inline constexpr double infinite = std::numeric_limits<double>::infinity();
// How full packs are while somebody measures.
inline constexpr double half_charged = 0.5;

// Resistances by EdgeId, ohm, of everything that has one: wires with both their ends, joints, contacts,
// fuses, switches, resistors, coils, drivers.
enum class SpreadEnd : std::uint8_t { least, most };
// `conductor_degC` of every wire. Least: the standard's resistivity, contacts at nothing but what is stated
// for them; most: the standard's largest, contacts at their largest. A resistor that is stated with one
// figure and a coil are taken as +-10 % (common practice, no source).
std::vector<double> bench_ohms(const Circuit& circuit, const Facts& facts, SpreadEnd end,
                               double conductor_degC);

// An output that is stated with one figure gives that, this much more or less (usual for converters, no
// source).
inline constexpr double output_spread = 0.03;

// What a hand meter puts between its probes on a range for volts, ohm (usual for hand meters, no source).
inline constexpr double meter_input_ohm = 10e6;
// A meter on its range for resistance reads nothing above this; what only insulation divides is above it (no
// source).
inline constexpr double open_ohm = 1e6;

class BenchMachine {
  public:
    // All outlive it. `ohms` by EdgeId.
    BenchMachine(const Circuit& circuit, const Facts& facts, Corner corner, std::vector<double> ohms);

    const Circuit& circuit() const { return circuit_; }
    std::vector<double>& ohms() { return values_.ohm_20; }
    const std::vector<double>& ohms() const { return values_.ohm_20; }

    // Between two points with everything dead, ohm; infinity: nothing but insulation. What is no plain
    // resistance (a controller, a converter, a diode, a load that draws a power) counts as `electronics_ohm`;
    // infinity: as open.
    double resistance_ohm(const BenchState& state, NodeId red, NodeId black, double electronics_ohm) const;

    // Whether a capacitor lies between the two, so that the reading climbs.
    bool climbs(const BenchState& state, NodeId red, NodeId black) const;

    struct Live {
        bool solved = false;
        std::vector<double> node_V;
        std::vector<double> edge_A;  // by EdgeId
    };
    // With every pack at that voltage at rest, as a share between its empty (0) and its full (1). `red` and
    // `black`: where the probes of a voltmeter are; may be invalid.
    Live live(const BenchState& state, double charge_share, NodeId red = {}, NodeId black = {}) const;
    // What outputs of converters, chargers and pins give, of what is stated.
    void set_output_factor(double factor) { output_factor_ = factor; }
    // Volts from black to red; 0 where it has no solution.
    double volts(const BenchState& state, double charge_share, NodeId red, NodeId black) const;

  private:
    const Circuit& circuit_;
    const Facts& facts_;
    CornerValues values_;
    double output_factor_ = 1;
};

// The share at which a pack stands that shows so many volts at rest. Beyond 0 and 1 where it is outside its
// range; nullopt where the range is not known or a single figure.
std::optional<double> charge_share(const Facts& facts, PartId pack, double rest_V);

}  // namespace loomward
