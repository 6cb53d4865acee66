// The live branches of a network reduced to four laws of current against voltage, and their sum at a node.
#pragma once
#include <cmath>
#include <cstdint>
#include <vector>

#include "checker/solver/network.hpp"
#include "checker/solver/network_graph.hpp"

namespace loomward {

// A voltage in twice the digits of a double. A joint of 1e-7 ohm at 50 V needs them: the last digit of the
// double 50.0 is 7e-15 V, across such a joint 7e-8 A, more than a sense lead carries.
struct FineVoltage {
    double high = 0;
    double low = 0;

    void add(double step) {
        const double raised = low + step;
        const double sum = high + raised;
        const double part = sum - high;
        low = (high - (sum - part)) + (raised - part);  // whichever of the two is the larger
        high = sum;
    }
};

struct Element {
    enum class Law : std::uint8_t {
        linear,   // I = g (u + E)
        window,   // the same, kept between 0 and limit_A
        current,  // limit_A at and above the knee, in proportion below, nothing below 0
        power,    // power_W / u at and above the knee, in proportion below, nothing below 0
    };
    Law law = Law::linear;
    bool both_ways = false;  // current, power: the same below 0 with its sign turned round
    std::uint32_t from = 0;
    std::uint32_t to = 0;
    std::uint32_t branch = 0;
    double conductance_S = 0;
    double voltage_V = 0;  // E
    double limit_A = 0;
    double power_W = 0;
    double knee_V = 0;
};

struct BranchFlow {
    double current_A = 0;  // from -> to inside the element
    double slope_S = 0;    // how it grows with u = V(from) - V(to)
};

// Current and slope of an element between two nodes. Power is scaled by `power_scale`.
BranchFlow flow_of(const Element& element, FineVoltage from, FineVoltage to, double power_scale);

double drop_across(FineVoltage from, FineVoltage to);

// u + E, with all its digits where the two nearly cancel.
double driving_voltage(const Element& element, FineVoltage from, FineVoltage to);

// Dead branches are left out; idle ones that are not linear become resistors, since they carry nothing.
// Loads are multiplied by `load_factor`. Converter inputs start with their own power alone.
std::vector<Element> make_elements(const Network& network, const NetworkGraph& graph, double load_factor);

}  // namespace loomward
