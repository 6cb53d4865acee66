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

// A wire that carries next to nothing itself and is warmed by what lies beside it.
struct WarmedWire {
    WireId wire;
    double least_degC = 0;  // where it lies outermost, steady
    double most_degC = 0;   // where it lies against the hottest of its group
    double ambient_degC = 0;
    double limit_degC = 0;   // of its insulation
    double current_A = 0;    // its own, which counts with the rest
    WireId hottest;          // of its group
    double hottest_A = 0;    // all its parallel conductors together
    bool settles = true;     // false: the temperatures are where following them ends
    std::size_t beside = 1;  // conductors that lie together, itself included
    ModeId mode;
    Corner corner = Corner::run_hot;
};

// At the worst of all modes and groups, by WireId: wires of known size in bundles and cables with others that
// get hotter, by the same heat balance.
std::vector<WarmedWire> warmed_wires(const Circuit& circuit, const Facts& facts,
                                     const std::vector<OperatingPoint>& points);

// By WireId: at the worst of all modes and of all groups it lies in, with the steady currents that heat as
// the modes do (currents/equivalent_currents.hpp). Wires of which the size is not known give no heat to their
// group.
std::vector<WireTemperature> wire_temperatures(const Circuit& circuit, const Facts& facts,
                                               const std::vector<OperatingPoint>& points);

}  // namespace loomward
