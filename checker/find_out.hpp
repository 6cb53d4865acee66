// What to find out first: open values by what they decide.
#pragma once
#include <string>
#include <vector>

#include "checker/parts/open_values.hpp"
#include "checker/results.hpp"

namespace loomward {

// The open values of one attribute.
struct ToFindOut {
    OpenValue first;              // in the file
    std::vector<std::string> of;  // their subjects; an estimate with what is written
    double decides = 0;  // what hangs on them together: an error counts 4, a warning 1, a note 0.1, and
                         // each value that could hide an error nobody tells of yet 0.5
};

// Unknown and estimated values apart; those that decide most first, of equals those that stand first.
std::vector<ToFindOut> what_to_find_out(const Results& results);

}  // namespace loomward
