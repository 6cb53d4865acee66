#include "render/text/characters.hpp"

#include <glib.h>

#include <algorithm>

namespace loomward {
namespace {

// Characters that act on the terminal or on the reading order instead of showing something.
bool acts(gunichar character) {
    const bool control = character < 0x20 || (character >= 0x7F && character < 0xA0);
    const bool line_end = character == 0x2028 || character == 0x2029;
    const bool direction = character == 0x061C || character == 0x200E || character == 0x200F ||
                           (character >= 0x202A && character <= 0x202E) ||
                           (character >= 0x2066 && character <= 0x2069);
    return control || line_end || direction;
}

std::size_t width_of(gunichar character) {
    if (g_unichar_iszerowidth(character)) return 0;
    return g_unichar_iswide(character) ? 2 : 1;
}

// A character that is one byte and shows as it stands: nearly all there are.
bool is_plain(char byte) {
    return byte >= 0x20 && byte < 0x7F;
}

bool all_plain(std::string_view text) {
    return std::all_of(text.begin(), text.end(), is_plain);
}

ShownCharacter shown(std::string_view line, std::size_t offset, std::size_t& bytes) {
    if (is_plain(line[offset])) {
        bytes = 1;
        return {std::string(1, line[offset]), offset, 1, false};
    }
    const auto rest = static_cast<gssize>(line.size() - offset);
    const gunichar character = g_utf8_get_char_validated(line.data() + offset, rest);
    const bool broken = character == static_cast<gunichar>(-1) || character == static_cast<gunichar>(-2);
    bytes = 1;
    if (line[offset] == '\0' || broken) return {"\uFFFD", offset, 1, false};
    bytes = static_cast<std::size_t>(g_unichar_to_utf8(character, nullptr));
    if (character == '\t') return {"\t", offset, 1, true};
    if (acts(character)) return {"\uFFFD", offset, 1, false};
    return {std::string(line.substr(offset, bytes)), offset, width_of(character), false};
}

}  // namespace

std::vector<ShownCharacter> shown_characters(std::string_view line) {
    std::vector<ShownCharacter> characters;
    characters.reserve(line.size());
    for (std::size_t offset = 0, bytes = 0; offset < line.size(); offset += bytes)
        characters.push_back(shown(line, offset, bytes));
    return characters;
}

std::string printable(std::string_view text) {
    if (all_plain(text)) return std::string(text);
    std::string result;
    for (const ShownCharacter& character : shown_characters(text)) result += character.bytes;
    return result;
}

std::size_t display_width(std::string_view text) {
    if (all_plain(text)) return text.size();
    std::size_t width = 0;
    for (const ShownCharacter& character : shown_characters(text)) width += character.width;
    return width;
}

std::vector<std::string> wrapped(std::string_view text, std::size_t columns) {
    std::vector<std::string> lines(1);
    std::size_t used = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t stop = std::min(text.find_first_of(" \n", at), text.size());
        const std::string word = printable(text.substr(at, stop - at));
        const std::size_t width = display_width(word);
        if (used > 0 && used + 1 + width > columns) {
            lines.emplace_back();
            used = 0;
        }
        if (!word.empty()) {
            if (used > 0) lines.back() += ' ';
            lines.back() += word;
            used += width + (used > 0 ? 1 : 0);
        }
        if (stop < text.size() && text[stop] == '\n') {
            lines.emplace_back();
            used = 0;
        }
        at = stop + 1;
    }
    return lines;
}

}  // namespace loomward
