// The smallest pieces of the language: what each byte may be part of, and what is wrong with a number or a
// character. Used by the reader and by the formatter.
#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "parser/text/diagnostic.hpp"
#include "parser/text/source.hpp"

namespace loomward {

namespace byte_class {
inline constexpr std::uint8_t letter = 1;
inline constexpr std::uint8_t digit = 2;
inline constexpr std::uint8_t word = 4;    // may stand inside a word
inline constexpr std::uint8_t number = 8;  // may stand inside a number
inline constexpr std::uint8_t blank = 16;  // parts values and nothing else
inline constexpr std::uint8_t capital = 32;
inline constexpr std::uint8_t above = 64;     // not ASCII
inline constexpr std::uint8_t control = 128;  // no character of a text file

consteval std::array<std::uint8_t, 256> make_table() {
    std::array<std::uint8_t, 256> table{};
    const auto add = [&table](std::string_view bytes, unsigned bits) {
        for (const char byte : bytes) {
            std::uint8_t& entry = table[static_cast<unsigned char>(byte)];
            entry = static_cast<std::uint8_t>(entry | bits);
        }
    };
    for (unsigned i = 0; i < 32; ++i) table[i] = control;
    for (unsigned i = 128; i < 256; ++i) table[i] = above;
    table[127] = control;
    table['\n'] = 0;
    table['\t'] = table['\r'] = table[' '] = blank;
    add("abcdefghijklmnopqrstuvwxyz", letter | word | number);
    add("ABCDEFGHIJKLMNOPQRSTUVWXYZ", letter | word | number | capital);
    add("0123456789", digit | word | number);
    add("_.-+^", word | number);
    add(">", word);
    add("/%", number);
    return table;
}
inline constexpr std::array<std::uint8_t, 256> table = make_table();
}  // namespace byte_class

inline bool is(char byte, unsigned bits) {
    return (byte_class::table[static_cast<unsigned char>(byte)] & bits) != 0;
}

// A character of a text: its number and how many bytes it takes. `bytes` is 0 where there is no well-formed
// UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF).
struct Character {
    char32_t code = 0;
    std::uint32_t bytes = 0;
};
Character decode_character(std::string_view text);

// At most one mistake for bytes that are no UTF-8 and one for characters that show nothing or change how the
// text around them looks (control characters, direction marks, hidden line breaks).
void check_characters(const Sources& sources, FileId file, std::vector<Diagnostic>& mistakes);

// "the character 'Ω' is used only inside texts and comments", with what to write instead.
Diagnostic foreign_character(Span where, Character character);

// What to write instead of a number that is not spelt as the language spells them; nullopt where it is well
// formed, or may be a name or a unit that the tables must judge ("5v", "14s8p", "16mm2").
std::optional<std::string> malformed_number_help(std::string_view number);

}  // namespace loomward
