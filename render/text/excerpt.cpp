#include "render/text/excerpt.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "render/text/characters.hpp"

namespace loomward {
namespace {

constexpr std::size_t gutter_columns = 8;  // "   23 | "
constexpr std::size_t longest_line = 240;
constexpr std::size_t kept_before = 80;
constexpr std::size_t kept_after = 80;
constexpr std::string_view cut_mark = "...";

struct Marked {
    std::vector<ShownCharacter> characters;
    std::size_t first = 0;  // index of the first character under the caret
    std::size_t last = 0;   // one past the last; equal to first: between characters or at the line end
};

Marked mark(std::string_view line, std::size_t begin, std::size_t end) {
    Marked marked{shown_characters(line), 0, 0};
    const auto index_of = [&](std::size_t offset) {
        const auto found =
            std::find_if(marked.characters.begin(), marked.characters.end(),
                         [&](const ShownCharacter& character) { return character.offset >= offset; });
        return static_cast<std::size_t>(found - marked.characters.begin());
    };
    marked.first = index_of(begin);
    marked.last = std::max(marked.first, index_of(end));
    return marked;
}

// Leaves out what is far from the caret; the marks of the cut count as characters before or behind it.
void shorten(Marked& marked) {
    if (marked.characters.size() <= longest_line) return;
    const auto cut = [](std::vector<ShownCharacter>& characters, std::size_t from, std::size_t to) {
        const auto begin = characters.begin();
        characters.erase(begin + static_cast<std::ptrdiff_t>(from), begin + static_cast<std::ptrdiff_t>(to));
        characters.insert(characters.begin() + static_cast<std::ptrdiff_t>(from),
                          ShownCharacter{std::string(cut_mark), 0, cut_mark.size(), false});
    };
    marked.last = std::min(marked.last, marked.first + kept_after);
    const std::size_t stop = marked.last + kept_after;
    if (stop < marked.characters.size()) cut(marked.characters, stop, marked.characters.size());
    if (marked.first <= kept_before) return;
    const std::size_t gone = marked.first - kept_before;
    cut(marked.characters, 0, gone);
    marked.first -= gone - 1;
    marked.last -= gone - 1;
}

// The column in which a character begins; tabs as a terminal with stops every eight columns shows them.
std::size_t column_of(const Marked& marked, std::size_t index) {
    std::size_t column = gutter_columns;
    for (std::size_t i = 0; i < index; ++i) {
        const ShownCharacter& character = marked.characters[i];
        column += character.tab ? 8 - column % 8 : character.width;
    }
    return column;
}

std::size_t marked_columns(const Marked& marked) {
    return std::max<std::size_t>(column_of(marked, marked.last) - column_of(marked, marked.first), 1);
}

std::string shown_line(const Marked& marked) {
    std::string line;
    for (const ShownCharacter& character : marked.characters) line += character.bytes;
    return line;
}

std::string blanks_before(const Marked& marked) {
    std::string blanks;
    for (std::size_t i = 0; i < marked.first; ++i)
        blanks += marked.characters[i].tab ? std::string("\t") : std::string(marked.characters[i].width, ' ');
    return blanks;
}

// What stands beside the caret, or on the line below where there is no room.
std::string remark(const Marked& marked, std::string_view beside, std::string_view gutter, Ink ink,
                   bool color, std::size_t columns) {
    if (beside.empty()) return {};
    const std::string text = paint(printable(beside), ink, color);
    const std::size_t width = display_width(beside);
    const std::size_t caret = column_of(marked, marked.first);
    if (columns == 0 || caret + marked_columns(marked) + 1 + width <= columns) return " " + text;
    const std::size_t start = std::min(caret, columns - std::min(columns, width));
    return std::string("\n").append(gutter).append(start - std::min(start, gutter_columns), ' ') + text;
}

}  // namespace

std::string place_text(Span where, const Sources& sources) {
    if (!where.valid()) return {};
    const Position position = sources.position(where);
    return fmt::format("{}:{}:{}", printable(sources.file(where.file).path), position.line, position.column);
}

std::string excerpt(Span where, std::string_view beside, const Sources& sources, Ink ink, bool color,
                    std::size_t columns) {
    if (!where.valid()) return {};
    const std::string_view line = sources.line_at(where.file, where.begin);
    const std::string& text = sources.file(where.file).text;
    const auto line_start = static_cast<std::size_t>(line.data() - text.data());
    const std::size_t begin =
        std::min(where.begin - std::min<std::size_t>(line_start, where.begin), line.size());
    const std::size_t end =
        std::min<std::size_t>(where.end - std::min<std::size_t>(line_start, where.end), line.size());
    Marked marked = mark(line, begin, std::max(begin, end));
    shorten(marked);

    const std::string number = fmt::format("{:5} | ", sources.position(where).line);
    const std::string gutter = paint(std::string(number.size() - 2, ' ') + "| ", Ink::faint, color);
    return paint(number, Ink::faint, color) + shown_line(marked) + "\n" + gutter + blanks_before(marked) +
           paint("^" + std::string(marked_columns(marked) - 1, '~'), ink, color) +
           remark(marked, beside, gutter, ink, color, columns) + "\n";
}

}  // namespace loomward
