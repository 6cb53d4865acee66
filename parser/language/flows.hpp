// What a part gives or takes in a mode, and the word for it.
#pragma once
#include <cstdint>
#include <optional>
#include <string_view>

namespace loomward {

enum class Flow : std::uint8_t { draws, returns, delivers, phases };

// As a mode line says it: "draws".
std::string_view flow_word(Flow flow);
// The flow that such a word stands for; nullopt: none.
std::optional<Flow> find_flow(std::string_view word);

}  // namespace loomward
