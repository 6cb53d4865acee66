// Figures that differ by less than their printed digits.
#pragma once
#include "checker/rules/finding.hpp"

namespace loomward {

// "36 V < 36 V" becomes "35.99 V < 36 V": where a line of the working, or what stands beside the caret, prints two
// different figures of the finding as the same text, both get as many digits as tell them apart.
void tell_apart(Finding& finding);

}  // namespace loomward
