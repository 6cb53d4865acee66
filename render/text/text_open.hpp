// What the file leaves open, as text: what ratings have to be, and what to find out first.
#pragma once
#include <string>

#include "checker/results.hpp"

namespace loomward {

// Part by part what its open ratings have to be, to hold against the labels; parts that have to be alike
// share a line. Empty where nothing is asked.
std::string requirements_text(const Results& results, bool color);

// What holds for some of what is left open only, a line a rule with all that it names. Empty where there is
// nothing of it.
std::string possible_text(const Results& results, bool color);

// Open values by what they decide, those of one attribute together, each with how one finds it out; `all`:
// every group, else the first twelve.
std::string find_out_text(const Results& results, bool all, bool color);

}  // namespace loomward
