// What flows while one load takes another current than its mode says: its inrush as it is switched on, or
// what it draws blocked.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"
#include "checker/results.hpp"

namespace loomward {

class SurgeSolver {
  public:
    SurgeSolver(const Circuit& circuit, const Facts& facts);
    ~SurgeSolver();

    // The operating point with the current of one load replaced; everything else draws and gives what it does
    // there (what draws a power: its current; a converter gives no more than its limit, and neither does the
    // load get more than that). Currents and voltages only; not solved: the status says so.
    // `point` usable and of run_hot or run_full; `load_A` above 0.
    OperatingPoint with(const OperatingPoint& point, EdgeId load, double load_A) const;

  private:
    struct Values;
    const Circuit& circuit_;
    const Facts& facts_;
    std::vector<Values> values_;  // by corner
};

}  // namespace loomward
