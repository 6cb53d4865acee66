// What draws a current in its own right, whatever kind it is written as.
#pragma once
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

struct Consumer {
    EdgeId edge;
    NodeId plus, minus;
    // What it draws at the most, A: solved, or by its rating or setting, or of a resistor by what feeds it; 0
    // where nothing is known.
    double draws_A = 0;
};

// Below it something is a sensor or a bleed: it is no reason for a switch; common practice, no source.
inline constexpr double consumer_A = 1;

// Controllers, converters and loads of any size; and what draws `consumer_A` or more: resistors that lie
// between a feed and its return, and supply pins of devices, all of one device together. By EdgeId.
std::vector<Consumer> consumers(const RuleInput& input);

}  // namespace loomward::rules
