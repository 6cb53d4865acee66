#include "render/svg/font.hpp"

#include <array>
#include <cstdint>

namespace loomward {
namespace {

// Thousandths of the font size for U+0020..U+007E in the regular width, read from the fonts' own tables
// (version 2.37); the condensed fonts are made from the regular ones at nine tenths.
constexpr double condensed = 0.9;
using Widths = std::array<std::uint16_t, 95>;
constexpr Widths book = {318,  401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337,  //
                         636,  636, 636, 636, 636, 636, 636, 636, 636, 636, 337, 337, 838, 838, 838, 531,  //
                         1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787,  //
                         603,  787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500,  //
                         500,  613, 635, 550, 635, 615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612,  //
                         635,  635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838};
constexpr Widths bold_face = {
    348,  456, 521, 838, 696, 1002, 872, 306,  457, 457, 523, 838, 380, 415,  380, 365,  //
    696,  696, 696, 696, 696, 696,  696, 696,  696, 696, 400, 400, 838, 838,  838, 580,  //
    1000, 774, 762, 734, 830, 683,  683, 821,  837, 372, 372, 775, 637, 995,  837, 850,  //
    733,  850, 770, 720, 682, 812,  774, 1103, 771, 724, 725, 457, 365, 457,  838, 500,  //
    500,  675, 716, 593, 716, 678,  435, 716,  712, 343, 343, 665, 343, 1042, 712, 687,  //
    716,  716, 493, 595, 478, 712,  652, 924,  645, 652, 582, 712, 365, 712,  838};

struct Character {
    char32_t code;
    std::size_t bytes;
};

// The text was checked to be UTF-8 when it was read; a stray byte still counts as one character.
Character first_character(std::string_view text) {
    const auto lead = static_cast<unsigned char>(text[0]);
    const std::size_t bytes = lead < 0xC0 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    if (bytes == 1 || bytes > text.size()) return {lead, 1};
    char32_t code = lead & (0xFFu >> (bytes + 1));
    for (std::size_t i = 1; i < bytes; ++i) code = (code << 6) | (static_cast<unsigned char>(text[i]) & 0x3F);
    return {code, bytes};
}

double character_width(char32_t code, bool bold) {
    const Widths& widths = bold ? bold_face : book;
    if (code >= 0x20 && code < 0x7F) return widths[code - 0x20];
    switch (code) {
        case 0xB2:
            return bold ? 438 : 401;  // superscript two
        case 0xB7:
            return bold ? 380 : 318;  // middle dot
        case 0xB0:
        case 0x2013:
            return 500;  // degree, en dash
        case 0xD7:
        case 0x2212:
        case 0x2192:
            return 838;  // times, minus, arrow
        case 0x3A9:
            return bold ? 850 : 764;  // ohm
        case 0x2026:
            return 1000;  // ellipsis
        default:
            break;
    }
    if (code < 0x20) return 0;
    if (code < 0x2E80) return bold ? 760 : 700;  // letters with marks, Greek, Cyrillic: wide ones
    return 1000 / condensed;                     // ideographs, from a font that has no narrow face
}

}  // namespace

double text_width(std::string_view text, double size, bool bold) {
    double thousandths = 0;
    while (!text.empty()) {
        const Character character = first_character(text);
        thousandths += character_width(character.code, bold);
        text.remove_prefix(character.bytes);
    }
    return thousandths * condensed * size / 1000;
}

std::string cropped(std::string_view text, double size, bool bold, double limit) {
    if (text_width(text, size, bold) <= limit) return std::string(text);
    const double room = limit - text_width("…", size, bold);
    std::size_t kept = 0;
    for (double width = 0; kept < text.size();) {
        const Character character = first_character(text.substr(kept));
        width += character_width(character.code, bold) * condensed * size / 1000;
        if (width > room) break;
        kept += character.bytes;
    }
    while (kept > 0 && text[kept - 1] == ' ') --kept;
    return std::string(text.substr(0, kept)) + "…";
}

std::vector<std::string> wrapped(std::string_view text, double size, double limit, std::size_t rows) {
    std::vector<std::string> out;
    while (!text.empty() && out.size() + 1 < rows && text_width(text, size) > limit) {
        std::size_t end = 0;
        for (std::size_t blank = text.find(' '); blank != std::string_view::npos;
             blank = text.find(' ', blank + 1)) {
            if (text_width(text.substr(0, blank), size) > limit) break;
            end = blank;
        }
        if (end == 0) break;  // the first word alone is too long
        out.emplace_back(text.substr(0, end));
        text.remove_prefix(end + 1);
    }
    if (!text.empty()) out.push_back(cropped(text, size, false, limit));
    return out;
}

namespace {

// Bytes of the longest beginning that is no wider than the limit: one character at least.
std::size_t fitting_bytes(std::string_view text, double size, bool bold, double limit) {
    std::size_t kept = 0;
    double width = 0;
    while (kept < text.size()) {
        const Character character = first_character(text.substr(kept));
        width += character_width(character.code, bold) * condensed * size / 1000;
        if (width > limit && kept > 0) break;
        kept += character.bytes;
    }
    return kept;
}

}  // namespace

std::vector<std::string> in_rows(std::string_view text, double size, bool bold, double limit) {
    std::vector<std::string> rows;
    while (!text.empty()) {
        std::size_t end = fitting_bytes(text, size, bold, limit);
        if (end < text.size() && text[end] != ' ')
            if (const std::size_t blank = text.substr(0, end).rfind(' ');
                blank != std::string_view::npos && blank > 0)
                end = blank;
        rows.emplace_back(text.substr(0, end));
        text.remove_prefix(end);
        while (text.starts_with(' ')) text.remove_prefix(1);
    }
    return rows;
}

}  // namespace loomward
