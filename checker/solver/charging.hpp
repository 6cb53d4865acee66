// How the capacitors of a numeric network charge and discharge: the time-domain solution of one network whose
// contacts stay as they are. Knows nothing of harnesses; checker/transients makes the networks.
//
// Method: the network without its capacitors is reduced to the ports that matter: the capacitors, and those
// loads, diodes and limited sources that do not stay where they are. Between two kinks of their laws this is
// a linear state space C dv/dt = i - G v with symmetric G, solved exactly by eigenvalues (no step size,
// however far apart the time constants). Constant-power loads bend: there the steps are as short as a tenth
// of a thousandth of the voltage asks for.
#pragma once
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "checker/solver/network.hpp"

namespace loomward {

// A capacitor between two nodes. Its own series resistance is not counted: that is the safe side for
// currents.
struct Capacitance {
    std::uint32_t plus = 0;
    std::uint32_t minus = 0;
    double capacitance_F = 0;  // above 0
    double start_V = 0;        // when the network becomes what it is
};

// The network with each capacitor as a source that holds its start voltage, appended in their order.
Network with_held_capacitors(const Network& network, std::span<const Capacitance> capacitors);

class ChargeCourse {
  public:
    // Solves the whole course, up to `horizon_s`. Works up to 48 capacitors that move; check `solved()`.
    ChargeCourse(const Network& network, std::span<const Capacitance> capacitors, double horizon_s = 1e4);
    ~ChargeCourse();
    ChargeCourse(ChargeCourse&&) noexcept;
    ChargeCourse& operator=(ChargeCourse&&) noexcept;

    // False: nothing else may be asked.
    bool solved() const;
    // The first moment, every capacitor still at its start: node voltages, currents of the branches, and of
    // the capacitors (into their plus).
    const NetworkSolution& moment() const;
    double moment_A(std::size_t capacitor) const;

    // Voltages of the capacitors `time_s` later; beyond the horizon those at the horizon.
    std::vector<double> at(double time_s) const;
    // The first time a capacitor stands at `voltage_V`, s; infinity if it never does within the horizon.
    double when(std::size_t capacitor, double voltage_V) const;
    // What this capacitor charges through as it all begins, the others held where they are, ohm; infinity
    // where nothing leads to it.
    double resistance_ohm(std::size_t capacitor) const;
    // Heat in a resistor of the network until `time_s`, J.
    double heat_J(std::uint32_t branch, double time_s) const;

  private:
    struct Course;
    std::unique_ptr<Course> course_;
};

}  // namespace loomward
