// The air in a location over the course of one mode, as one body.
#pragma once
#include <optional>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/heat/how_long.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// The air in a location as a body over one course. nullopt: it does not say how its heat leaves, or nobody
// knows.
struct BoxCourse {
    ThermalBody body;              // of 1 K/W
    LossCourse rises;              // settled rise of each level, K, as its losses
    std::vector<double> losses_W;  // of each level
    double around_degC = 0;
    double lasting_W = 0;  // with which it settles at `limit_degC`
};
std::optional<BoxCourse> box_course(const Circuit& circuit, const Facts& facts, const Course& course,
                                    LocationId location, double limit_degC);

}  // namespace loomward
