// Contacts as bodies that warm up, by their derating curve: the rise goes with the square of the current,
// from the air to their largest temperature at the current that they may carry there.
#pragma once
#include <optional>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/profile.hpp"
#include "checker/heat/how_long.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

struct ContactHold {
    EdgeId contact;
    double ambient_degC = 0;
    double limit_degC = 0;  // `limit` of its connector
    double may_A = 0;       // there, for good
    ThermalBody body;
    LossCourse losses;  // settled rise of each level, K
    double limit_K() const { return limit_degC - ambient_degC; }
};

// nullopt: its limit or rating is not known, it carries nothing, or its air is as hot as it may get.
std::optional<ContactHold> contact_hold(const Circuit& circuit, const Facts& facts, const Course& course,
                                        EdgeId contact);

struct ContactTemperature {
    EdgeId contact;
    ModeId mode;
    double ambient_degC = 0;
    double hottest_degC = 0;
    double limit_degC = 0;
    bool settles = true;  // false: the mode heats it without end
};

// Of every contact that has a hold in some course, at the worst of them, in the order of the edges.
std::vector<ContactTemperature> contact_temperatures(const Circuit& circuit, const Facts& facts,
                                                     const std::vector<OperatingPoint>& points);

}  // namespace loomward
