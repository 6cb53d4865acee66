// What flows while loads take another current than their mode says: their inrush as they are switched on, or
// what they draw blocked.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

struct LoadCurrent {
    EdgeId load;
    double current_A = 0;  // above 0
};

class SurgeSolver {
  public:
    SurgeSolver(const Circuit& circuit, const Facts& facts);
    ~SurgeSolver();

    // The operating point with the currents of these loads replaced; everything else draws and gives what it
    // does there (what draws a power: its current; a converter gives no more than its limit, and neither does
    // the load get more than that). Currents and voltages only; not solved: the status says so. `point`
    // usable and of run_hot or run_full.
    OperatingPoint with(const OperatingPoint& point, const std::vector<LoadCurrent>& loads) const;

  private:
    struct Values;
    const Circuit& circuit_;
    const Facts& facts_;
    std::vector<Values> values_;  // by corner
};

}  // namespace loomward
