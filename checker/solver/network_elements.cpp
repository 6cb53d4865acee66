#include "checker/solver/network_elements.hpp"

#include <algorithm>
#include <cassert>
#include <limits>

namespace loomward {

namespace {

// What stands in for a load or diode that no current can reach; its value cannot matter.
constexpr double idle_conductance_S = 1.0;

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
