// A finding that rests on an estimate, or on a value taken because nobody knows the real one, says so.
#pragma once
#include <vector>

#include "checker/parts/open_values.hpp"
#include "checker/rules/finding.hpp"
#include "checker/taken_values.hpp"

namespace loomward {

void say_what_it_rests_on(const std::vector<OpenValue>& open, const std::vector<TakenValue>& taken,
                          std::vector<Finding>& findings);

}  // namespace loomward
