// The corners at which everything is looked at.
#pragma once
#include <cstdint>
#include <string_view>

namespace loomward {

// Which spread of pack, temperature and resistance hurts.
enum class Corner : std::uint8_t { fault_max, fault_min, run_hot, run_full };
std::string_view corner_name(Corner corner);  // "run-hot"

}  // namespace loomward
