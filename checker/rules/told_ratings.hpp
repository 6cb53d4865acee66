// What rules tell of a part that passes more than it may: for long, or in one level of a mode.
#pragma once
#include <string>
#include <string_view>

#include "checker/currents/profile.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {

// What would pass, in words and as figures.
struct Passing {
    std::string help;
    std::vector<Cure> cures = {};
};

// `says` what it does, "passes more than it may"; `limit_name` of which rating, "charge".
void add_excess(const RuleInput& input, std::string_view rule, Severity severity, EdgeId id,
                const std::string& says, const Excess& excess, const std::string& limit_name, Passing passing,
                Report& report);
void add_level(const RuleInput& input, std::string_view rule, Severity severity, EdgeId id,
               const std::string& says, double current_A, double limit_A, const std::string& limit_name,
               const OperatingPoint& point, Passing passing, Report& report);

// The current in one direction, A, never below 0: sign +1 from -> to, -1 to -> from.
Amperes flowing(EdgeId id, int sign);

// A spell without a break, s, and its largest current.
struct Spell {
    double seconds = 0;
    double peak_A = 0;
    const OperatingPoint* point = nullptr;
};
// The longest at or above a current, A. One that goes on from the end of a course that repeats into its
// beginning is one; infinity where it never falls below.
Spell longest_above(const Course& course, EdgeId edge, int sign, double above_A);
// Of two, the one with more current, or the longer one; equals by the name of their mode.
bool is_worse(const RuleInput& input, const Spell& now, const Spell& than);

}  // namespace loomward::rules
