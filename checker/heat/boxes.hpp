// How warm the air in each location gets from all that loses power in it, in every mode.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/heat/box_way.hpp"
#include "checker/heat/losses.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// The inside of a location in a mode, at the corner at which it gets hottest.
struct WarmBox {
    LocationId location;
    ModeId mode;
    Corner corner = Corner::run_hot;
    HeatPath path{};
    std::string_view state;            // of its states, as the mode says or the hottest; empty: it has none
    double around_degC = 0;            // hottest air around it
    double inside_degC = 0;            // as `around_degC` where nothing is lost in it
    double losses_W = 0;               // all together, at the hottest moment of the course
    double resistance_K_W = 0;         // rise over losses; 0 without losses
    bool settles = true;               // false: hotter than is followed, 400 degC
    std::vector<HeatSource> sources;   // largest first, equals by name
    std::vector<std::string> working;  // lines: how the heat leaves
    std::string source;                // of the formulas, empty for a stated path
};

// By location, then mode, those locations that say how their heat leaves. A mode that cannot be solved has
// none. What is estimated or taken goes on the assumption list. Each course is followed with the time
// constant of the location, 600 s (no source) where it states none, and the hottest moment stands for it.
std::vector<WarmBox> boxes_of(const Circuit& circuit, const Facts& facts,
                              const std::vector<OperatingPoint>& points);

// Makes the ambients that `facts` tells those of the insides.
void warm(Facts& facts, const std::vector<WarmBox>& boxes);

// The same with what it does to currents: hotter conductors lose more. Warms `facts` and solves `points`
// anew, twice, where some location says how its heat leaves; else changes nothing and returns none.
std::vector<WarmBox> warm_boxes(const Circuit& circuit, Facts& facts, std::vector<OperatingPoint>& points,
                                std::string_view only_mode);

}  // namespace loomward
