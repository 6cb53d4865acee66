// Contacts of switches, contactors, relays, selectors and connectors with one branch behind them, held to the
// devices that guard them as the wires at them are. Part of the rule rated-below-guard.
#pragma once
#include <set>

#include "checker/rules/rule_support.hpp"

namespace loomward::rules {

// A warning where what can flow for long, A, is more than 1.45 times what the contact carries at its ambient;
// a note where the one device that guards it is rated above that. `told`: parts of which the sum of branches
// says so already.
void judge_guarded_contacts(const RuleInput& input, const std::set<PartId>& told, Report& report);

}  // namespace loomward::rules
