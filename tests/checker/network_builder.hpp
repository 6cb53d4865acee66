// Short hands for building networks in tests.
#pragma once
#include "checker/solver/network.hpp"

namespace loomward::test {

inline Branch resistor(std::uint32_t from, std::uint32_t to, double resistance_ohm) {
    Branch branch;
    branch.type = Branch::Type::resistor;
    branch.from = from;
    branch.to = to;
    branch.resistance_ohm = resistance_ohm;
    return branch;
}

inline Branch emf(std::uint32_t minus, std::uint32_t plus, double voltage_V, double resistance_ohm) {
    Branch branch = resistor(minus, plus, resistance_ohm);
    branch.type = Branch::Type::emf;
    branch.voltage_V = voltage_V;
    return branch;
}

inline Branch limited_source(std::uint32_t minus, std::uint32_t plus, double voltage_V, double resistance_ohm,
                             double current_A) {
    Branch branch = emf(minus, plus, voltage_V, resistance_ohm);
    branch.type = Branch::Type::limited_source;
    branch.current_A = current_A;
    return branch;
}

inline Branch diode(std::uint32_t anode, std::uint32_t cathode, double voltage_V, double resistance_ohm) {
    Branch branch = emf(anode, cathode, voltage_V, resistance_ohm);
    branch.type = Branch::Type::diode;
    return branch;
}

inline Branch current_load(std::uint32_t plus, std::uint32_t minus, double current_A, double knee_V) {
    Branch branch;
    branch.type = Branch::Type::current_load;
    branch.from = plus;
    branch.to = minus;
    branch.current_A = current_A;
    branch.knee_V = knee_V;
    return branch;
}

inline Branch power_load(std::uint32_t plus, std::uint32_t minus, double power_W, double knee_V) {
    Branch branch = current_load(plus, minus, 0, knee_V);
    branch.type = Branch::Type::power_load;
    branch.power_W = power_W;
    return branch;
}

inline Branch converter_input(std::uint32_t plus, std::uint32_t minus, std::size_t partner, double efficiency,
                              double own_power_W, double knee_V) {
    Branch branch = power_load(plus, minus, own_power_W, knee_V);
    branch.type = Branch::Type::converter_input;
    branch.efficiency = efficiency;
    branch.partner = BranchId(partner);
    return branch;
}

}  // namespace loomward::test
