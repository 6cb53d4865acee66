// Everything a check found out, as values for the renderers: what each step hands on, bundled.
#pragma once
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/loading.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/heat/boxes.hpp"
#include "checker/parts/facts.hpp"
#include "checker/protection/proof.hpp"
#include "checker/protection/protection_zones.hpp"
#include "checker/rules/finding.hpp"
#include "checker/rules/rule_info.hpp"

namespace loomward {

struct Results {
    // What is done to it as a whole is compiled once, not in every file that knows it.
    Results();
    ~Results();
    Results(const Results&);
    Results(Results&&) noexcept;
    Results& operator=(const Results&);
    Results& operator=(Results&&) noexcept;

    std::shared_ptr<const Harness> harness;  // as it was read
    std::shared_ptr<const Harness> judged;  // with ranges for what it leaves open; the circuit is of this one
    Circuit circuit;
    std::vector<OperatingPoint> points;    // by mode, corner, interval
    std::vector<WarmBox> boxes;            // by location, then mode
    std::vector<WireLoading> wires;        // by WireId
    std::vector<WireGuards> guards;        // by WireId
    std::vector<ProtectionZone> zones;     // of all wires, by kind of guard
    std::vector<Finding> findings;         // by place in the source, then rule
    std::vector<Assumption> assumptions;   // by what, then value
    std::size_t unknown_values = 0;        // values said to be unknown
    std::vector<std::string> not_checked;  // what this program does not look at yet, for the verdict

    std::size_t count(Severity severity) const;  // not accepted, copies counted once
};

struct CheckOptions {
    std::string_view only_mode;  // empty: every mode
    // Looks for every place where a possible finding turns; else only for as many as cost next to nothing.
    bool all_thresholds = false;
};

// Builds the circuit, solves every mode, runs every rule.
Results check(std::shared_ptr<const Harness> harness, const CheckOptions& options = {});

// Every rule there is, by name.
std::vector<RuleInfo> rule_list();

}  // namespace loomward
