// Changes to a text, token by token, that mostly leave it a harness: values for values, names for names,
// statements left out, doubled or moved. The same seed gives the same change.
#pragma once
#include <cstdint>
#include <string>

namespace fuzz {

std::string mutated(const std::string& text, std::uint64_t seed);

}  // namespace fuzz
