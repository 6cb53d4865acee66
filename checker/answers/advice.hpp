// What everything that was found comes to, for somebody who is about to switch on. Terminal and papers each
// have words of their own for it; which it is, is decided here.
#pragma once
#include <cstddef>
#include <cstdint>

#include "checker/answers/digest.hpp"
#include "checker/results.hpp"

namespace loomward {

// Of what is counted, what holds for some values of what is left open only, and what asks for them.
struct OpenCounts {
    std::size_t errors = 0, warnings = 0, notes = 0;  // possible ones and questions
    std::size_t told_errors = 0, told_warnings = 0;   // possible ones
    std::size_t asked = 0;                            // questions that could hide an error or warning
    std::size_t asked_errors = 0;                     // ... an error
    bool any() const { return errors + warnings > 0; }
};
OpenCounts open_counts(const Results& results);
// Errors that are told, certain or possible: what asks for an open value is none.
std::size_t told_errors(const Results& results);

// The gravest first.
enum class Advice : std::uint8_t {
    do_not,          // an error is certain
    not_looked_at,   // none is, but of a mode nothing can be said
    find_out_first,  // an error is possible, or an open value could hide one
    only_warnings,   // no error was found in what was checked
    none_found,      // nor a warning. Not a permission
};
struct Advised {
    Advice advice{};
    std::size_t errors = 0, warnings = 0;  // certain ones
    OpenCounts open;
    bool stop() const { return advice <= Advice::find_out_first; }
};
Advised advise(const Results& results, const Digest& digest);

}  // namespace loomward
