// Attributes that name terminals of their part. Internal to parser/.
#pragma once
#include "parser/names/reading.hpp"

namespace loomward {

// Lets bridge, position, contact, precharges and spare name terminals by the table's own names, whatever is
// printed on the part, so that nobody after the reader has to know of prints. For the root scope once it is
// finished: assemblies are opened and overrides applied.
void forget_printed_names(Reading& reading, const Scope& scope);

}  // namespace loomward
