// A place in a file for people: "cart.loom:31:24", and the line with a caret under it.
#pragma once
#include <string>
#include <string_view>

#include "parser/text/source.hpp"
#include "render/text/paint.hpp"

namespace loomward {

// "cart.loom:31:24"; empty for a span without a place.
std::string place_text(Span where, const Sources& sources);

// Two lines, each with its line break: the source line as typed behind its number, and below it a caret and
// tildes under `where` followed by `beside`. Tabs stay tabs on both lines, so that they stand alike whatever
// the terminal makes of them. Of a line beyond 240 columns only the part round the caret is shown. A span
// that goes on over the line end is marked to the line end; an empty one marks one column. Empty for a span
// without a place.
// Where `columns` is not 0 and `beside` would stand beyond it, it comes on a line of its own below the caret.
std::string excerpt(Span where, std::string_view beside, const Sources& sources, Ink ink, bool color,
                    std::size_t columns = 0);

// Blanks under the line number: what stands before "note:" and "help:".
inline constexpr std::string_view gutter_blanks = "      ";

}  // namespace loomward
