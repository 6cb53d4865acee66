// What comes back when every controller that may return current does so at its setting, whatever the modes
// say of it: a setting can be reached on any hill.
#pragma once
#include <vector>

#include "checker/circuit/circuit.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/facts.hpp"

namespace loomward {

// With full packs, no load drawing and no charger giving: in each mode in which a controller draws or returns
// current, with those controllers returning; then, for controllers that no mode uses, with every contact
// closed, change-over contacts and selectors in each of their positions (no mode stands in such a point).
std::vector<OperatingPoint> brake_at_settings(const Circuit& circuit, const Facts& facts);

// The same for one state of the harness: whether what `controller` returned in mode `while_braking` still
// finds a pack in mode `after`.
OperatingPoint brake_after(const Circuit& circuit, const Facts& facts, PartId controller,
                           ModeId while_braking, ModeId after);

}  // namespace loomward
