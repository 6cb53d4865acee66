// What a pack's name and label say of its cells.
#pragma once
#include <string_view>

#include "parser/harness.hpp"

namespace loomward {

// "lead", "lfp", "lto", "nmc" or "lithium"; empty: nothing.
std::string_view chemistry_of(const Part& pack);

}  // namespace loomward
