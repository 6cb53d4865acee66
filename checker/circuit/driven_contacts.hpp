// A battery management that lies beside the current and opens a contactor.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"

namespace loomward {

// Lays the trip of each such management in line with the contact that it opens, with a point between the two
// that no terminal has. `parts` in the order of their edges; nodes are numbered, incidences are not made yet.
void lay_trips_at_contacts(const Harness& harness, const std::vector<PartId>& parts, Circuit& circuit);

}  // namespace loomward
