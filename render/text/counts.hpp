// Numbers of the verdict, the same in every format.
#pragma once
#include <cstddef>

#include "checker/results.hpp"

namespace loomward {

std::size_t users(const Assumption& assumption);     // one where nobody is named
std::size_t assumed_values(const Results& results);  // sum of the users
std::size_t accepted_findings(const Results& results);
// Modes whose numbers may be used, at each of their points; a mode that was not looked at does not count.
std::size_t solved_modes(const Results& results);

// Of what is counted, what holds for some values of what is left open only, and what asks for them.
struct OpenCounts {
    std::size_t errors = 0, warnings = 0, notes = 0;  // possible ones and questions
    std::size_t told_errors = 0, told_warnings = 0;   // possible ones
    std::size_t asked = 0;                            // questions that could hide an error or warning
    bool any() const { return errors + warnings > 0; }
};
OpenCounts open_counts(const Results& results);

}  // namespace loomward
