// What a rule is given and what it gives back. A family of rules is one file in checker/rules/ that defines
// `const RuleFamily family` in a namespace named like the file; CMake makes the list of them.
#pragma once
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/at_settings.hpp"
#include "checker/currents/loading.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/faults/fault.hpp"
#include "checker/heat/boxes.hpp"
#include "checker/parts/facts.hpp"
#include "checker/protection/proof.hpp"
#include "checker/protection/zones.hpp"
#include "checker/rules/finding.hpp"
#include "checker/rules/rule_info.hpp"
#include "checker/switching/transients.hpp"

namespace loomward {

// Everything a rule may read. Rules read, and report; they change nothing.
struct RuleInput {
    const Harness& harness;
    const Circuit& circuit;
    const std::vector<OperatingPoint>& points;
    const std::vector<AtSetting>& at_settings;
    const std::vector<WireLoading>& wires;
    const Zones& zones;
    const Proof& proof;
    const Transients& transients;
    const FaultStudy& faults;
    const std::vector<WarmBox>& boxes;
    const Facts& facts;  // attribute values with their defaults; what is used gets on the assumption list
};

// Takes findings; fills in `accepted` and folds copies afterwards, so rules need not care.
class Report {
  public:
    void add(Finding finding) { findings_.push_back(std::move(finding)); }
    // What is told so far: a later family may ask for more of the same.
    std::vector<Finding>& told() { return findings_; }
    std::vector<Finding> take() { return std::move(findings_); }

  private:
    std::vector<Finding> findings_;
};

struct RuleFamily {
    std::span<const RuleInfo> rules;                      // what `explain` tells
    void (*run)(const RuleInput& input, Report& report);  // looks for all of them in one go
};

// Every family, in the order of their file names.
std::span<const RuleFamily* const> rule_families();

}  // namespace loomward
