// What flows when a controller takes all that its setting allows: modes tell of an ordinary ride, and the
// setting is reached on the first hill.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// A mode at its lowest pack voltage with one controller at its setting and all else as it is there.
struct AtSetting {
    PartId controller;
    double limit_A = 0;
    OperatingPoint point;
};

// For each controller that draws in a mode, and in none of them three quarters of its setting: in the mode in
// which it draws most, the first of equals. Left out: what could not be solved.
std::vector<AtSetting> draw_at_settings(const Circuit& circuit, const Facts& facts);

}  // namespace loomward
