// What lies on the way that feeds a controller, and what it would carry at the controller's setting.
#pragma once
#include <string>
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

struct OnTheWay {
    double may_A = 0;
    double carries_A = 0;  // at the setting
    double share = 1;      // of what the controller draws
    EdgeId edge;
    std::string what;  // "discharge of pack B1"
};

// What each part of the way would carry at the setting, against what it may: a controller that draws more
// than that in a mode would draw less.
std::vector<OnTheWay> loaded_way(const RuleInput& input, const OperatingPoint& point, EdgeId controller,
                                 double setting_A);

// By mode the moment in which the controller draws most: each mode may lead it another way.
std::vector<const OperatingPoint*> busiest(const RuleInput& input, EdgeId controller);

// All that is too weak for the setting as strong as it asks, the contacts among it for what raised devices
// let through too; empty: some of it cannot be said.
std::vector<Cure> stronger_way(const RuleInput& input, EdgeId controller, double setting_A);

}  // namespace loomward::rules
