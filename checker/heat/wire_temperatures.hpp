// How hot each wire gets where it lies, by the heat balance of what lies together.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/grouping.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// What lies together: bundles, cables, parallel conductors (grouping.hpp); and every wire that lies in none
// of them, as a group of one.
std::vector<HeatGroup> every_heat_group(const Harness& harness);

struct WireTemperature {
    bool judged = false;      // its size is known and it carries something in some mode
    bool settles = true;      // false: no steady state; the temperature is where following it ends
    double hottest_degC = 0;  // steady, of its conductor
    double ambient_degC = 0;
    double limit_degC = 0;   // of its insulation
    std::size_t beside = 1;  // conductors that lie together, itself included
    ModeId mode;
    Corner corner = Corner::run_hot;
};

// By WireId: at the worst of all modes and of all groups it lies in, with the steady currents that heat as
// the modes do (currents/equivalent_currents.hpp). Wires of which the size is not known give no heat to their
// group.
std::vector<WireTemperature> wire_temperatures(const Circuit& circuit, const Facts& facts,
                                               const std::vector<OperatingPoint>& points);

}  // namespace loomward
