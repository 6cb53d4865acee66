// What differs between two texts, line by line.
#pragma once
#include <string>
#include <string_view>

namespace loomward {

// Lines that go after "- ", lines that come after "+ ", each run under its line number in the old text
// ("line 42"). Texts of more than a few thousand differing lines are told as one run.
std::string line_diff(std::string_view before, std::string_view after);

}  // namespace loomward
