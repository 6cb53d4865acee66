#include "parser/language/flows.hpp"

#include <array>

namespace loomward {
namespace {

constexpr std::array<std::string_view, 4> words = {"draws", "returns", "delivers", "phases"};

}  // namespace

std::string_view flow_word(Flow flow) {
    return words[static_cast<std::size_t>(flow)];
}

std::optional<Flow> find_flow(std::string_view word) {
    for (std::size_t i = 0; i < words.size(); ++i)
        if (words[i] == word) return static_cast<Flow>(i);
    return std::nullopt;
}

}  // namespace loomward
