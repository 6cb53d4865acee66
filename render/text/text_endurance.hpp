// `endurance`: how long each part stands what the modes ask, as text.
#pragma once
#include <string>
#include <vector>

#include "checker/heat/endurance.hpp"
#include "checker/results.hpp"

namespace loomward {

// A block a mode, what gives out first on top, an empty line after each; what was assumed last. At most
// `most_parts` rows a mode, the others in one line.
std::string endurance_text(const Results& results, const std::vector<ModeEndurance>& modes, bool color,
                           std::size_t most_parts = 8);

}  // namespace loomward
