// Which of the devices on a fault's way opens first: the one nearest to the fault alone should.
#pragma once
#include <vector>

#include "checker/faults/fault.hpp"

namespace loomward {

struct FaultWay;

// The nearest fuse or breaker against each other one on the way, where it is not sure to be first; by their
// order from the fault.
std::vector<FaultRace> find_races(const Circuit& circuit, const Facts& facts,
                                  const FaultTeller::Setting& setting, const FaultWay& way,
                                  const FaultStory& story);

}  // namespace loomward
