// What to find out first: open values by what they decide.
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "checker/parts/open_values.hpp"
#include "checker/results.hpp"

namespace loomward {

// A finding that hangs on an open value: it is told for some of what the value may be, and not for the rest.
struct Decided {
    std::size_t finding = 0;    // into Results::findings
    std::string subject;        // of the value: "W24"
    std::optional<Turn> turns;  // where it turns, the other open values as they are taken; nullopt: not
                                // followed, or not by this value alone
};

// The open values of one attribute.
struct ToFindOut {
    OpenValue first;                // in the file
    std::vector<std::string> of;    // their subjects; an estimate with what is written
    std::vector<Decided> findings;  // possible ones that nobody accepted, in the order of the results
    std::size_t could_hide = 0;     // how many of the values could hide an error that nobody tells of yet
    double decides = 0;  // what hangs on them together: an error counts 4, a warning 1, a note 0.1, and
                         // each value that could hide an error nobody tells of yet 0.5
};

// Unknown and estimated values apart; those that decide most first, of equals those that stand first.
std::vector<ToFindOut> what_to_find_out(const Results& results);

}  // namespace loomward
