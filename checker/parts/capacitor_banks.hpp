// Capacitors that lie side by side with next to no resistance between them: they discharge as one.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// The largest capacitance of a capacitor edge, F; 0 where none is stated.
double capacitance_F(const Facts& facts, const Edge& edge);

class CapacitorBanks {
  public:
    // `open` by EdgeId: what does not conduct; empty: everything conducts.
    CapacitorBanks(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open = {});

    // Of all capacitors of its bank, F; 0 for what is no capacitor or of unknown capacitance.
    double farad(EdgeId capacitor) const { return farad_[capacitor.index()]; }
    // The first of them by name stands for the bank.
    bool is_first(EdgeId capacitor) const { return first_[capacitor.index()]; }
    std::size_t size(EdgeId capacitor) const { return size_[capacitor.index()]; }

  private:
    std::vector<double> farad_;        // by EdgeId
    std::vector<bool> first_;          // by EdgeId
    std::vector<std::uint32_t> size_;  // by EdgeId
};

}  // namespace loomward
