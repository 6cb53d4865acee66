// Which way round edges can be driven (checker/circuit/drive), over all positions of the switches.
#pragma once
#include <span>
#include <vector>

#include "checker/circuit/drive.hpp"

namespace loomward {

// By index into `edges`: what holds in some position.
std::vector<Drive::Ways> driven(const Circuit& circuit, std::span<const EdgeId> edges, DriveThrough through,
                                DriveBy by = DriveBy::any_source);

}  // namespace loomward
