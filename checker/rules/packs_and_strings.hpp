// Every pack, and every string of packs in series, as what can stand beside another.
#pragma once
#include <string>
#include <vector>

#include "checker/rules/rule.hpp"

namespace loomward::rules {

// A pack, or several in series.
struct PackOrString {
    PartId part;            // the lowest of them
    std::string name;       // "pack B1", "packs B1 + B2"
    std::string label;      // "B1", "B1 + B2"
    std::size_t place = 0;  // in the order of names
    NodeId plus, minus;
    std::vector<EdgeId> sections;
    double empty_V = 0, full_V = 0, resistance_ohm = 0, charge_A = 0;
};

// By name, the strings behind the packs. Left out: what does not say its voltage and resistance.
std::vector<PackOrString> packs_and_strings(const RuleInput& input);

}  // namespace loomward::rules
