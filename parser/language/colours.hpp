// Insulation colours: the words of the language and the letters of IEC 60757.
#pragma once
#include <optional>
#include <string_view>

#include "parser/harness.hpp"

namespace loomward {

struct ColourPair {
    Colour first = Colour::none;
    Colour second = Colour::none;
};

// "red" or "green-yellow"; nullopt where it is no colour of the language.
std::optional<ColourPair> read_colour(std::string_view word);
// The colour somebody meant who wrote "gray", "purple" or "rde"; empty if none comes near.
std::string_view colour_meant_by(std::string_view word);

}  // namespace loomward
