#include "checker/solver/network_elements.hpp"

#include <algorithm>
#include <cassert>
#include <limits>

namespace loomward {

namespace {

// What stands in for a load or diode that no current can reach; its value cannot matter.
constexpr double idle_conductance_S = 1.0;
// Next to nothing, but enough to tell where the end of a dead lead stands.
constexpr double reverse_leak_S = 1e-7;

Element make_element(const Branch& branch, std::uint32_t index, bool idle, double load_factor) {
    Element element;
    element.from = branch.from;
    element.to = branch.to;
    element.branch = index;
    element.both_ways = branch.both_ways;
    switch (branch.type) {
        case Branch::Type::resistor:
        case Branch::Type::emf:
            element.conductance_S = 1 / branch.resistance_ohm;
            if (branch.type == Branch::Type::emf) element.voltage_V = branch.voltage_V;
            return element;
        case Branch::Type::limited_source:
            element.conductance_S = 1 / branch.resistance_ohm;
            element.voltage_V = branch.voltage_V;
            element.limit_A = branch.current_A;
            if (!idle) element.law = Element::Law::window;
            return element;
        case Branch::Type::diode:
            element.law = Element::Law::window;
            element.conductance_S = 1 / branch.resistance_ohm;
            element.voltage_V = -branch.voltage_V;
            element.limit_A = std::numeric_limits<double>::infinity();
            break;
        case Branch::Type::current_load:
            element.law = Element::Law::current;
            element.limit_A = branch.current_A * load_factor;
            element.knee_V = branch.knee_V;
            break;
        case Branch::Type::power_load:
            element.law = Element::Law::power;
            element.power_W = branch.power_W * load_factor;
            element.knee_V = branch.knee_V;
            break;
        case Branch::Type::converter_input:
            element.law = Element::Law::power;
            element.power_W = branch.power_W;
            element.knee_V = branch.knee_V;
            break;
    }
    if (idle) {
        element.law = Element::Law::linear;
        element.conductance_S = idle_conductance_S;
        element.voltage_V = 0;
    }
    return element;
}

}  // namespace

double drop_across(FineVoltage from, FineVoltage to) {
    return (from.high - to.high) + (from.low - to.low);
}

double driving_voltage(const Element& element, FineVoltage from, FineVoltage to) {
    // The difference of the high parts as two doubles that hold it exactly.
    const double high = from.high - to.high;
    const double back = high - from.high;
    const double lost = (from.high - (high - back)) - (to.high + back);
    return (element.voltage_V + high) + (lost + (from.low - to.low));
}

BranchFlow flow_of(const Element& element, FineVoltage from, FineVoltage to, double power_scale) {
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

std::vector<Element> make_elements(const Network& network, const NetworkGraph& graph, double load_factor) {
    std::vector<Element> elements;
    elements.reserve(network.branches.size());
    for (std::uint32_t index = 0; index < network.branches.size(); ++index) {
        const BranchRole role = graph.roles[index];
        if (role == BranchRole::dead) continue;
        const Branch& branch = network.branches[index];
        assert(branch.resistance_ohm >= 0 && std::isfinite(branch.resistance_ohm));
        assert(std::isfinite(branch.voltage_V) && branch.current_A >= 0 && branch.power_W >= 0);
        elements.push_back(make_element(branch, index, role == BranchRole::idle, load_factor));
    }
    return elements;
}

}  // namespace loomward
