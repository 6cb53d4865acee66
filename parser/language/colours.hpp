// Insulation colours: the words of the language and the letters of IEC 60757.
#pragma once
#include <cstdint>
#include <optional>
#include <string_view>

namespace loomward {

// IEC 60757 colours, in the standard's order.
enum class Colour : std::uint8_t {
    none,
    black,
    brown,
    red,
    orange,
    yellow,
    green,
    blue,
    violet,
    grey,
    white,
    pink,
    gold,
    turquoise,
    silver
};
// The word of the language ("red") and the standard's letters ("RD").
std::string_view colour_word(Colour colour);
std::string_view colour_letters(Colour colour);

struct ColourPair {
    Colour first = Colour::none;
    Colour second = Colour::none;
};

// "red" or "green-yellow"; nullopt where it is no colour of the language.
std::optional<ColourPair> read_colour(std::string_view word);
// The colour somebody meant who wrote "gray", "purple" or "rde"; empty if none comes near.
std::string_view colour_meant_by(std::string_view word);

}  // namespace loomward
