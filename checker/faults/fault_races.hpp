// Which of the devices on a fault's way opens first: the one nearest to the fault alone should.
#pragma once
#include <utility>
#include <vector>

#include "checker/faults/fault.hpp"

namespace loomward {

struct FaultWay;

// A fuse or breaker on the way, with its current.
using DeviceOnWay = std::pair<PartId, double>;
// Those of a story, out and back from the fault.
std::vector<DeviceOnWay> devices_on(const Circuit& circuit, const FaultWay& way, const FaultStory& story);

// The nearest fuse or breaker against each other one on the way, where it is not sure to be first; by their
// order from the fault.
std::vector<FaultRace> find_races(const Facts& facts, const FaultTeller::Setting& setting,
                                  const std::vector<DeviceOnWay>& devices);

}  // namespace loomward
