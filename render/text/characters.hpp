// Characters as a terminal shows them. Input is UTF-8; a byte that is none counts as one character.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace loomward {

// One character of a line: the bytes as they may be printed, and how many columns they take.
struct ShownCharacter {
    std::string bytes;  // U+FFFD instead of control characters, direction marks and bytes that are no UTF-8
    std::size_t offset = 0;  // of its first byte in the line it came from
    std::size_t width =
        1;  // 0 combining, 1, 2 wide; a tab has 1 here, its real width depends on where it stands
    bool tab = false;
};

std::vector<ShownCharacter> shown_characters(std::string_view line);

// The same as one string: what a file says cannot move the cursor, change colours or turn the reading
// direction.
std::string printable(std::string_view text);

// Columns that `text` takes; a tab counts as one.
std::size_t display_width(std::string_view text);

// `text` broken at blanks into lines of at most `columns` (a word longer than that gets a line of its own).
// Line breaks in `text` stay. Never empty.
std::vector<std::string> wrapped(std::string_view text, std::size_t columns);

}  // namespace loomward
