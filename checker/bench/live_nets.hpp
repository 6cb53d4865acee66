// Which points a source reaches in a state of the harness, contacts following their coils.
#pragma once
#include <vector>

#include "checker/bench/bench_machine.hpp"

namespace loomward {

// By NodeId: over closed contacts from the plus of a pack or a charger that is on, and through converters
// that are fed. What only the minus of a pack reaches is not.
std::vector<bool> live_nodes(const Circuit& circuit, const BenchState& state);

// Contactors and relays whose coils have less than lets them hold (as rule mode-contradicts judges), one
// after the other until nothing more lets go; latching ones stay as they are. `state` becomes the one in
// which they have.
std::vector<PartId> let_go(const BenchMachine& machine, const Facts& facts, BenchState& state);

}  // namespace loomward
