// What the file leaves open, as text: what ratings have to be, and what to find out first.
#pragma once
#include <string>
#include <string_view>

#include "checker/results.hpp"

namespace loomward {

// Part by part what its open ratings have to be, to hold against the labels; parts that have to be alike
// share a line. Empty where nothing is asked.
std::string requirements_text(const Results& results, bool color);

// What holds for some of what is left open only, a line a rule with all that it names. Empty where there is
// nothing of it. `more` says how one sees them one by one.
std::string possible_text(const Results& results, bool color, std::string_view more = "--unknowns");

// Open values by what they decide, those of one attribute together, each with how one finds it out; `all`:
// every group, else the first twelve, and `more` says how one sees the others.
std::string find_out_text(const Results& results, bool all, bool color, std::string_view more = "--unknowns");

}  // namespace loomward
