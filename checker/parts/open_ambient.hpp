// An ambient that nobody knows.
#pragma once
#include "parser/language/quantity.hpp"

namespace loomward {

// As wide as harnesses meet it. No source.
inline constexpr Quantity unknown_ambient{-20, 50, Dimension::temperature, Knowledge::assumed};

}  // namespace loomward
