// A finding that rests on an estimate, or on a value taken because nobody knows the real one, says so.
#pragma once
#include <vector>

#include "checker/parts/open_values.hpp"
#include "checker/rules/finding.hpp"

namespace loomward {

void say_what_it_rests_on(const std::vector<OpenValue>& open, std::vector<Finding>& findings);

}  // namespace loomward
