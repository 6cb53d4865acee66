// What is asked of a protector alone: electronics in a lead that open it at a current.
#pragma once
#include "checker/parts/facts.hpp"
#include "parser/harness.hpp"

namespace loomward {

// Whether it opens in a short circuit at all: false where it says `breaks none`, or where nobody knows what it
// breaks. Then only what lies before it opens, and it guards no wire. Of other kinds always true.
bool opens_in_a_short(const Facts& facts, PartId part);

// Known to open in no short circuit, whatever its trips say: a protector that says it breaks none, a management
// whose contactor latches. False where nobody knows, and of what is neither.
bool never_opens(const Facts& facts, PartId part);

}  // namespace loomward
