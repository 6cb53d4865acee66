// A network seen from its capacitors: everything that stays linear between two kinks is worked into a few
// dense matrices. Used by charging.cpp alone.
#pragma once
#include <Eigen/Core>
#include <optional>
#include <span>
#include <vector>

#include "checker/solver/charging.hpp"
#include "checker/solver/network.hpp"

namespace loomward {

// The current through a branch at a voltage from its `from` to its `to`, with its slope.
struct PortCurrent {
    double current_A = 0;
    double slope_S = 0;
};
// Any branch but a resistor or emf. A converter's input counts as a load of `input_W`.
PortCurrent port_current(const Branch& branch, double drop_V, double input_W);
// Which of the pieces of its law, between its kinks, a branch is on.
int law_piece(const Branch& branch, double drop_V);

struct Port {
    std::uint32_t branch = 0;
    double input_W = 0;  // converter_input: what it draws once it is settled
};

// With capacitor voltages v and the excess currents e of the ports (what their law asks for beyond
// `ground_S` times their drop):
//   drops of the ports       w = free_V + by_capacitor v + by_excess e
//   currents out of the capacitors  i = free_A + conductance_S v + by_excess_A e
struct PortModel {
    static constexpr double ground_S = 1e-7;  // keeps what hangs on a port alone within reach
    // What a law lets pass beyond its current, however little that is: else an output that feeds nothing has
    // no voltage of its own, and no course of charging that has it can be told.
    static constexpr double leak_S = 1e-10;
    std::vector<Port> ports;
    std::vector<std::size_t> moving;  // capacitors that move, by their index; the others hold their voltage
    Eigen::VectorXd free_V;
    Eigen::MatrixXd by_capacitor;
    Eigen::MatrixXd by_excess;
    Eigen::VectorXd free_A;
    Eigen::MatrixXd conductance_S;
    Eigen::MatrixXd by_excess_A;
    // Columns of node voltages, for looking into the network: free, by capacitor, by excess.
    Eigen::MatrixXd node_columns;
};

// `start` is the solution with every capacitor at its start voltage, `end` the one without any capacitor.
// nullopt where too many things move at once.
std::optional<PortModel> reduce_to_ports(const Network& network, std::span<const Capacitance> capacitors,
                                         const NetworkSolution& start, const NetworkSolution& end);

}  // namespace loomward
