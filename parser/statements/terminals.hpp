// Names of terminals while a part is declared. Internal to parser/.
#pragma once
#include <span>

#include "parser/names/reading.hpp"

namespace loomward {

// Says what is wrong with the names of a part's terminals, and with the attributes that name one of them
// (marks, spare, bridge, contact, position, precharges). `given`: some names are the user's own, and may be
// alike; `wheres` are their places, by terminal of the part, as far as they have one.
void check_terminal_names(Reading& reading, Scope& scope, PartId id, const AttributeList& attributes,
                          bool given, std::span<const Span> wheres);

}  // namespace loomward
