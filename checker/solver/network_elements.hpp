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

inline double drop_across(FineVoltage from, FineVoltage to) {
    return (from.high - to.high) + (from.low - to.low);
}

// u + E, with all its digits where the two nearly cancel.
inline double driving_voltage(const Element& element, FineVoltage from, FineVoltage to) {
    // The difference of the high parts as two doubles that hold it exactly.
    const double high = from.high - to.high;
    const double back = high - from.high;
    const double lost = (from.high - (high - back)) - (to.high + back);
    return (element.voltage_V + high) + (lost + (from.low - to.low));
}

// Through loads the wrong way round: next to nothing, but enough to tell where the end of a dead lead stands.
inline constexpr double reverse_leak_S = 1e-7;

// Current and slope of an element between two nodes. Power is scaled by `power_scale`. In the header, since
// Newton's steps ask for nothing as often.
inline BranchFlow flow_of(const Element& element, FineVoltage from, FineVoltage to, double power_scale) {
    const double drop_V = drop_across(from, to);
    switch (element.law) {
        case Element::Law::linear:
            return {driving_voltage(element, from, to) * element.conductance_S, element.conductance_S};
        case Element::Law::window: {
            const double current_A = driving_voltage(element, from, to) * element.conductance_S;
            if (current_A < 0) return {0, 0};
            if (current_A > element.limit_A) return {element.limit_A, 0};
            return {current_A, element.conductance_S};
        }
        case Element::Law::current:
            if (drop_V < 0 && !element.both_ways) return {reverse_leak_S * drop_V, reverse_leak_S};
            if (std::abs(drop_V) >= element.knee_V) return {std::copysign(element.limit_A, drop_V), 0};
            return {element.limit_A / element.knee_V * drop_V, element.limit_A / element.knee_V};
        case Element::Law::power: {
            if (drop_V < 0 && !element.both_ways) return {reverse_leak_S * drop_V, reverse_leak_S};
            const double power_W = element.power_W * power_scale;
            if (std::abs(drop_V) >= element.knee_V) return {power_W / drop_V, -power_W / drop_V / drop_V};
            const double conductance_S = power_W / element.knee_V / element.knee_V;
            return {conductance_S * drop_V, conductance_S};
        }
    }
    return {};
}

// Dead branches are left out; idle ones that are not linear become resistors, since they carry nothing.
// Loads are multiplied by `load_factor`. Converter inputs start with their own power alone.
std::vector<Element> make_elements(const Network& network, const NetworkGraph& graph, double load_factor);

}  // namespace loomward
