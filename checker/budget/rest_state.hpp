// The state of a harness that is left alone.
#pragma once
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

// Everything as it is when left alone: contacts open (switches that rest closed: closed), relays released,
// selectors in their first position, controllers, chargers and drivers at rest, plugs mated, loads and
// converters on. The language's `others at rest`, without the lines of any mode.
Mode rest_state(const Harness& harness);

// Modes of the file in which all that can be at rest is. Plugs may be out, loads and converters off.
std::vector<ModeId> modes_at_rest(const Harness& harness);

}  // namespace loomward
