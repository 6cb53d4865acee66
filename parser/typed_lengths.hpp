// Lengths that were typed in feet and inches, beside the metres that they were read to: a builder looks for
// the figure on the tape.
#pragma once
#include <string>

#include "parser/harness.hpp"

namespace loomward {

// "6 ft", "6 ft 3 in", "about 8 in": what stands in the text, where it is a length in feet or inches. Empty
// for lengths in metres, for other quantities, and for what is not known.
std::string_view typed_in_feet(const Harness& harness, const Value& value);
// The same of the length of a wire or a core; of one that runs along stretches, which: "0.3 m, along R1 R2".
std::string_view typed_in_feet(const Harness& harness, const Wire& wire);

// "1.83 m (6 ft)": a length in m, with what was typed for it; `typed` may be empty.
std::string with_typed(std::string metres, std::string_view typed);

}  // namespace loomward
