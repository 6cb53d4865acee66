// How wide a text is, from a table of our own: no library measures, so a sheet is the same on every machine.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace loomward {

// The family every SVG of ours asks for.
inline constexpr std::string_view font_family = "DejaVu Sans Condensed, Arial, sans-serif";

// Width of a UTF-8 text at a font size, in the unit of `size`: advance widths of the first family (and its
// bold). Arial is narrower in small letters and figures and up to a tenth wider in capitals.
double text_width(std::string_view text, double size, bool bold = false);

// The text cut to at most `limit` wide, with an ellipsis where something was cut.
std::string cropped(std::string_view text, double size, bool bold, double limit);

// The text in at most `rows` rows of at most `limit` width, broken at blanks; the last row is cropped if need
// be.
std::vector<std::string> wrapped(std::string_view text, double size, double limit, std::size_t rows);

// The whole text in rows of at most `limit` width, broken at blanks; a word that is wider than a row (or a
// script without blanks) is broken between its characters. Nothing is left out. No rows of an empty text.
std::vector<std::string> in_rows(std::string_view text, double size, bool bold, double limit);

}  // namespace loomward
