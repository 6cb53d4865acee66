// What is to be done first, for other programs.
#pragma once
#include "checker/answers/digest.hpp"
#include "render/json/json_values.hpp"

namespace loomward {

// Connecting the pack, then the modes: what each begins with.
Json steps_json(const Results& results, const Digest& digest);
Json causes_json(const Digest& digest);

}  // namespace loomward
