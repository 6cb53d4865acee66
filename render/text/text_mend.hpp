// What `mend` tells: what first, what to buy, what only the owner can answer, what is left.
#pragma once
#include <string>

#include "checker/mend/mend.hpp"

namespace loomward {

// What the plan leaves: "no errors and 1 warning, 2 possible errors and no possible warnings".
std::string counts_left(const Mended& mended);
// `all`: every change; else the first of them and a count. `found` is the harness before. Ends with a line
// break.
std::string mended_text(const Mended& mended, const Results& found, const std::string& path, bool all);

// One change in a line: "W3: 16 mm2 instead of 2.5 mm2, 0.15 m".
std::string change_text(const Change& change, const Harness& found);

}  // namespace loomward
