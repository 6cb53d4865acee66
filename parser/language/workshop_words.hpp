// What things are called in a workshop, and what the language calls them.
#pragma once
#include <span>
#include <string_view>

#include "parser/language/quantity.hpp"

namespace loomward {

// A word that begins no statement though many would begin one with it.
struct WorkshopWord {
    std::string_view word;       // lower case
    std::string_view statement;  // the word that begins it here: "pack"
    std::string_view example;    // a whole statement: "pack B1 { voltage 40..54.6 V }"
};
std::span<const WorkshopWord> workshop_words();
// nullptr where it is none; capitals do not matter.
const WorkshopWord* find_workshop_word(std::string_view word);

// The dimension that somebody means who writes "amps" or "wattage" before a value that has no name here; none
// where it is no such word.
Dimension workshop_dimension(std::string_view word);

// The attribute that somebody means who writes "ampacity" or "breaking-capacity"; empty where it is no such
// word.
std::string_view workshop_attribute(std::string_view word);

}  // namespace loomward
