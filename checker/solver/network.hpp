// The numeric network of one operating point: nodes, resistances, sources, loads; and its solution.
// Knows nothing of harnesses; circuit elements are turned into this by checker/operating_point.
//
// Method: nodal analysis with one reference node an island, sparse LDLT (Eigen), and a Newton loop for
// everything that is not linear. Every solution is checked afterwards against Kirchhoff's current law at
// every node; what does not pass is reported as not solved, never as numbers.
#pragma once
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "parser/text/id.hpp"

namespace loomward {

using BranchId = Id<struct BranchTag>;

// A branch between two nodes; currents count positive from `from` through the branch to `to`.
struct Branch {
    enum class Type : std::uint8_t {
        resistor,  // resistance_ohm > 0
        emf,       // voltage_V behind resistance_ohm > 0: V(to) - V(from) = voltage_V - I * resistance_ohm
                   // (the branch drives current out of `to`, as a pack does from minus to plus)
        current_load,  // draws current_A from `from` to `to` while V(from) - V(to) >= knee_V; below, in
                       // proportion; nothing the wrong way round, unless `both_ways`
        power_load,    // draws power_W / (V(from) - V(to)) at and above knee_V; below, like the resistor that
                       // draws the same current at knee_V; nothing the wrong way round, unless `both_ways`.
                       // The load counts as *collapsed* below its knee.
        limited_source,  // holds voltage_V behind resistance_ohm > 0 while 0 <= I <= current_A; from there it
                         // gives current_A, whatever the voltage. Drives out of `to`. Never takes current
                         // back.
        diode,  // passes from `from` to `to` only: I = (V(from) - V(to) - voltage_V) / resistance_ohm, or 0
        converter_input,  // draws (output power of branch `partner` / efficiency + power_W) / V above knee_V,
                          // like power_load
    };
    Type type = Type::resistor;
    std::uint32_t from = 0;
    std::uint32_t to = 0;
    double resistance_ohm = 0;
    double voltage_V = 0;
    double current_A = 0;
    double power_W = 0;
    double knee_V = 0;
    double efficiency = 1;
    bool both_ways = false;  // loads: a motor, which draws the same with its poles exchanged
    BranchId partner;        // converter_input: the limited_source branch it feeds; invalid: it feeds nothing
};

// Between two nodes, what draws nothing and still joins them: a device at rest, a capacitor. What hangs on
// one source by such things alone stands at its voltage.
struct NetworkTie {
    std::uint32_t from = 0;
    std::uint32_t to = 0;
};

struct Network {
    std::uint32_t node_count = 0;
    std::vector<Branch> branches;
    std::vector<NetworkTie> ties = {};
};

enum class SolveStatus : std::uint8_t {
    solved,
    collapsed,      // solved, but at least one load sits below its knee: the sources cannot feed it
    not_converged,  // no numbers
};

struct NetworkSolution {
    SolveStatus status = SolveStatus::not_converged;
    // Volts at each node against the reference of its island (an emf's or limited source's `from` node). An
    // island without a source stands as a whole at the lowest voltage that a tie brings to it, the shortest
    // way first; at 0 V where none does.
    std::vector<double> node_V;
    // Amperes, from -> to inside the branch; emf and limited_source: out of `to`.
    std::vector<double> branch_A;
    std::vector<std::uint32_t> collapsed;  // loads below their knee; not those that no source reaches at all
    double worst_residual_A = 0;           // largest sum of currents at a node
    int iterations = 0;
};

// Solves from scratch. Islands without a source come out at one voltage and 0 A; the output of a converter
// whose input no source reaches is no source. Every branch's numbers must be finite and in the ranges above
// (asserted); loads need a knee above 0, and limits, powers and currents are not negative.
// Where loads can be fed, they are, and the solution is the one at the higher voltages.
NetworkSolution solve(const Network& network);

// Makes the outputs of converters that nothing feeds give nothing for good: in `solution`, that of the
// network, they gave nothing and their input stood below its knee.
void silence_dead_outputs(Network& network, const NetworkSolution& solution);

// More than any bleed or sense lead passes: a load that draws as much has a supply, however far its voltage
// falls.
inline constexpr double trickle_A = 1;

// A load that asks for more than its sources can give, held at the largest share of it that they can.
struct HeldLoad {
    std::uint32_t branch = 0;
    double share = 0;  // of what it asks for
};
// Holds in `network` what cannot be fed and solves it again, so that the rest can be judged as if nothing
// were wrong with it: the loads that ask for most first, one after the other, each at the largest share at
// which everything else that can be fed is. The input of a converter becomes a load of its own; its output
// stays a source. Loads below `least_share` of their knee (behind an open switch, a coil) are left as they
// are. `solution` becomes that of the network as it is then.
std::vector<HeldLoad> hold_what_cannot_be_fed(Network& network, NetworkSolution& solution,
                                              double least_share);

// The largest factor by which all power loads and current loads could be multiplied and still be fed
// (bisection to 0.1 %; 0 if not even a thousandth can, infinity without loads). For a lone load P behind V
// and R it is V*V/(4 R P).
double feedable_fraction(const Network& network);

}  // namespace loomward
