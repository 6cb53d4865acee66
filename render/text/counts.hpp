// Numbers of the verdict, the same in every format.
#pragma once
#include <cstddef>

#include "checker/answers/advice.hpp"
#include "checker/results.hpp"

namespace loomward {

std::size_t users(const Assumption& assumption);     // one where nobody is named
std::size_t assumed_values(const Results& results);  // sum of the users
std::size_t accepted_findings(const Results& results);
// Modes whose numbers may be used, at each of their points; a mode that was not looked at does not count.
std::size_t solved_modes(const Results& results);

}  // namespace loomward
