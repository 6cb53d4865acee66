// Files as read, and places in them. A place is a byte range; line and column are worked out only
// when something is printed.
#pragma once
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "parser/text/id.hpp"

namespace loomward {

// Bytes [begin, end) of one file. An invalid file id means "no place" (a value that was assumed).
struct Span {
    FileId file;
    std::uint32_t begin = 0;
    std::uint32_t end = 0;
    bool valid() const { return file.valid(); }
    friend constexpr auto operator<=>(const Span&, const Span&) = default;
};

// Both count from 1. `column` counts characters (UTF-8 code points), not bytes; a tab is one character.
struct Position {
    std::uint32_t line = 1;
    std::uint32_t column = 1;
};

struct SourceFile {
    std::string path;  // as the user named it; "-" for standard input
    std::string text;  // as read, byte for byte
    // Offsets at which lines begin, worked out when a position is first asked for.
    mutable std::vector<std::uint32_t> line_starts{};
};

// A byte of a UTF-8 character after its first.
constexpr bool continues_a_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0) == 0x80;
}

// Owns every file that was read. Spans and string_views into `text` stay good as long as it lives
// (a deque, so adding a file moves nothing).
struct Sources {
    std::deque<SourceFile> files;

    FileId add(std::string path, std::string text);
    const SourceFile& file(FileId id) const { return files[id.index()]; }
    std::string_view text(Span span) const;
    Position position(Span span) const;  // of its first byte
    // The whole line that holds `offset`, without its line end.
    std::string_view line_at(FileId id, std::uint32_t offset) const;
};

}  // namespace loomward
