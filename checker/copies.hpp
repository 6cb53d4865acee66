// Findings of the copies of a repeated assembly: they stand at one place in the source and are told once.
#pragma once
#include <vector>

#include "checker/results.hpp"

namespace loomward {

// Of the copies of one part or wire the certain one stays, of several the one that is furthest beyond its
// limit; it names the others. Parts of one type that say the same to the last figure are told once as well.
void fold_copies(const Harness& harness, std::vector<Finding>& findings);

}  // namespace loomward
