// What a harness is for, as far as a program can see it: what its modes feed, and what its switches, plugs
// and chargers are joined to. A plan may not lose any of it.
#pragma once
#include <map>
#include <set>
#include <string>
#include <utility>

#include "checker/mend/change.hpp"

namespace loomward {

// The most that a consumer takes or a charger gives in a mode.
struct Served {
    double current_A = 0, power_W = 0;
    bool hands_on = false;  // a converter: what it feeds is served itself
};

struct Functions {
    std::map<std::pair<std::string, std::string>, Served> served;  // by mode and part
    std::set<std::string> joined;   // terminals of contacts and chargers on which something lands
    std::set<std::string> doubted;  // parts that are fed wrongly: what they take now means nothing
    std::size_t modes = 0, modes_solved = 0;
};
Functions functions_of(const Results& results);

// What is lost of `before`; empty: nothing. `plan` leads from there to `after`.
std::string lost_function(const Functions& before, const Functions& after, const Plan& plan);

}  // namespace loomward
