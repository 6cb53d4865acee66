// The steady currents that would heat the wires as a course does.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/profile.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// By WireId, A, parallel conductors together: of a course of several levels the one that heats as its worst
// moment does, with the wire's own time constant (tables/formulas.hpp); else what flows.
std::vector<double> equivalent_currents_A(const Circuit& circuit, const Facts& facts, const Course& course);

}  // namespace loomward
