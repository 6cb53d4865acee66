// What `failures` tells: by consequence, most dangerous first, alike ones together.
#pragma once
#include <string>

#include "checker/failures/failures.hpp"

namespace loomward {

// At most this many lines, but with `all`.
inline constexpr std::size_t failure_lines = 40;

// Ends with a line break.
std::string failures_text(const FailureReport& report, const Harness& harness, const std::string& path,
                          bool all, bool color);

// Every failure of one part or wire, with what it does in each mode that differs. Empty: it has none.
std::string failures_of_text(const FailureReport& report, const Harness& harness, const std::string& name,
                             bool color);

// The line that `check` prints where something cannot be stopped, with its line break; else empty.
std::string unstoppable_text(const UnstoppableCount& count, const std::string& path);

}  // namespace loomward
