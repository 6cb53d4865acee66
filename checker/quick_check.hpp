// A check for those who make many and compare them.
#pragma once
#include <memory>

#include "checker/results.hpp"

namespace loomward {

// All that `check` finds, but for two things that cost most where a file leaves values open: which findings
// are certain and which only possible (all are told as if certain, and those that only a mixture of the ends
// of ranges tells are missing), and where possible ones turn.
Results check_quickly(std::shared_ptr<const Harness> harness);

}  // namespace loomward
