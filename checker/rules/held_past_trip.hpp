// Contactors that a battery management opens by the driver of their coil, and that something else holds in.
// Part of holding and latched.
#pragma once
#include <set>
#include <utility>
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// A part whose driver pin leads to the coil of a contactor, over conductors or by the contacts of a relay
// that it drives; and a battery management that says that it drives the contactor.
struct DrivenCoil {
    PartId driver;  // the part
    PartId contactor;
    std::vector<EdgeId> drivers;  // its pins that lead there; empty where only the word of the part says so
};
// By part, then contactor.
std::vector<DrivenCoil> driven_coils(const RuleInput& input);

// Adds findings of rule held-coil about contactors that are not in `told` yet.
void judge_held_past_trip(const RuleInput& input, const std::set<PartId>& told, Report& report);

}  // namespace loomward::rules
