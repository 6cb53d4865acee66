// Contacts and plugs in the leads of solar panels: what they close on and open as long as it is light, and
// what stays live when they are parted. Parts of making_breaking, load_break and unmated.
#pragma once
#include <set>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// Adds findings of rules breaking-current and making-current about parts that are not in `said` yet.
void judge_panel_contacts(const RuleInput& input, std::set<PartId>& said, Report& report);

// Adds findings of rule no-load-break: panels that nothing but plugs and links parts from what they feed.
void judge_panel_isolation(const RuleInput& input, Report& report);

// Adds findings of rule live-when-unmated: pins that face panels.
void judge_panel_plugs(const RuleInput& input, Report& report);

}  // namespace loomward::rules
