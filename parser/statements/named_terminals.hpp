// Attributes that name terminals of their part. Internal to parser/.
#pragma once
#include "parser/names/reading.hpp"

namespace loomward {

// Finds the terminals that pin, contact, position, bridge, spare and precharges name, by what is printed on
// the part or by the table's own names, so that nobody after the reader looks a name up. For the root scope
// once it is finished: assemblies are opened and overrides applied.
void find_named_terminals(Reading& reading, Scope& scope);

}  // namespace loomward
