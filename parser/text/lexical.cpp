#include "parser/text/lexical.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>

namespace loomward {
namespace {

// ---- characters --------------------------------------------------------------------------------------

struct Spelling {
    char32_t character;
    std::string_view help;
};

constexpr std::string_view plain_dash = "write a plain '-', or '..' for a range";
constexpr std::string_view plain_quote = "write a plain '\"'";
constexpr std::string_view plain_blank = "write a plain blank";
constexpr std::string_view plain_two = "write a plain 2: mm2, A2s";
constexpr std::string_view plain_u = "write a plain 'u': uA, uF";

// Look-alikes, by character number.
constexpr Spelling spellings[] = {
    {U'\u00A0', plain_blank},
    {U'\u00AB', plain_quote},
    {U'\u00B0', "write degC"},
    {U'\u00B1', "a spread is written as a range: 10..16"},
    {U'\u00B2', plain_two},
    {U'\u00B5', plain_u},
    {U'\u00BB', plain_quote},
    {U'\u00BD', "write 0.5"},
    {U'\u00D7', "write a plain 'x', or each value on its own"},
    {U'\u03A9', "write ohm"},
    {U'\u03BC', plain_u},
    {U'\u2002', plain_blank},
    {U'\u2003', plain_blank},
    {U'\u2007', plain_blank},
    {U'\u2009', plain_blank},
    {U'\u200A', plain_blank},
    {U'\u2010', plain_dash},
    {U'\u2011', plain_dash},
    {U'\u2012', plain_dash},
    {U'\u2013', plain_dash},
    {U'\u2014', plain_dash},
    {U'\u2018', plain_quote},
    {U'\u2019', plain_quote},
    {U'\u201C', plain_quote},
    {U'\u201D', plain_quote},
    {U'\u201E', plain_quote},
    {U'\u2026', "a range is written with two points: 10..16"},
    {U'\u202F', plain_blank},
    {U'\u2103', "write degC"},
    {U'\u2126', "write ohm"},
    {U'\u2192', "a way through a part is written with '>': K2.com>no"},
    {U'\u2212', plain_dash},
    {U'\u3000', plain_blank},
};

bool shows_nothing(char32_t code) {
    return code == 0xA0 || (code >= 0x2000 && code <= 0x200F) || code == 0x202F || code == 0x3000 ||
           code == 0xFEFF || code == 0xAD;
}

// Hidden line ends, direction marks and C1 controls: a reader would see another text than the program.
bool misleads(char32_t code) {
    return (code >= 0x80 && code <= 0x9F) || code == 0x2028 || code == 0x2029 ||
           (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) || code == 0x200E ||
           code == 0x200F || code == 0x061C;
}

// True if any of the bytes is other than printable ASCII and line feed. Written so that it is vectorised.
bool needs_a_look(const char* bytes, std::size_t count) {
    unsigned found = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const auto byte = static_cast<signed char>(bytes[i]);
        found |= static_cast<unsigned>((byte < 0x20) & (byte != '\n')) | static_cast<unsigned>(byte == 0x7F);
    }
    return found != 0;
}

class CharacterCheck {
  public:
    CharacterCheck(std::string_view text, FileId file, std::vector<Diagnostic>& mistakes)
        : text_(text), file_(file), mistakes_(mistakes) {}

    // Looks at the characters that begin in [begin, end); returns where the last one ends.
    std::size_t look(std::size_t begin, std::size_t end) {
        std::size_t at = begin;
        while (at < end) at += look_at(at);
        return at;
    }

  private:
    std::size_t look_at(std::size_t at) {
        const char byte = text_[at];
        if (byte == '\r' && at + 1 < text_.size() && text_[at + 1] == '\n') return 1;
        if (byte == '\r' || is(byte, byte_class::control)) {
            report_misleading(at, {static_cast<char32_t>(static_cast<unsigned char>(byte)), 1});
            return 1;
        }
        if (!is(byte, byte_class::above)) return 1;
        const Character character = decode_character(text_.substr(at, 4));
        if (character.bytes == 0) {
            report_bytes(at);
            return 1;
        }
        if (misleads(character.code)) report_misleading(at, character);
        return character.bytes;
    }

    Span span(std::size_t at, std::size_t bytes) const {
        return {file_, static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(at + bytes)};
    }

    void report_bytes(std::size_t at) {
        if (bytes_reported_) return;
        bytes_reported_ = true;
        mistakes_.push_back({"not-utf8",
                             span(at, 1),
                             fmt::format("the byte 0x{:02X} is not part of a UTF-8 character",
                                         static_cast<unsigned char>(text_[at])),
                             "",
                             {},
                             "save the file as UTF-8; this is told once a file"});
    }

    void report_misleading(std::size_t at, Character character) {
        if (misleading_reported_) return;
        misleading_reported_ = true;
        const bool line_end = character.code == '\r' || character.code == 0x2028 || character.code == 0x85;
        mistakes_.push_back({"hidden-character",
                             span(at, character.bytes),
                             fmt::format("the hidden character U+{:04X} has no place in a harness",
                                         static_cast<std::uint32_t>(character.code)),
                             "",
                             {},
                             line_end ? "lines end with LF or with CR LF"
                                      : "remove it: what it does to the text cannot be seen"});
    }

    std::string_view text_;
    FileId file_;
    std::vector<Diagnostic>& mistakes_;
    bool bytes_reported_ = false;
    bool misleading_reported_ = false;
};

// ---- numbers -----------------------------------------------------------------------------------------

// Reads a number from the left; every step gives the position after what it read.
struct NumberScan {
    std::string_view text;
    std::size_t at = 0;

    char peek(std::size_t ahead = 0) const { return at + ahead < text.size() ? text[at + ahead] : '\0'; }
    bool digit_at(std::size_t ahead) const { return is(peek(ahead), byte_class::digit); }
    void digits() {
        while (digit_at(0)) ++at;
    }
    // digits [ "." digits ], after the sign
    void decimal() {
        digits();
        if (peek() == '.' && digit_at(1)) {
            ++at;
            digits();
        }
    }
    std::string upto_here() const { return std::string(text.substr(0, at)); }
    std::string rest() const { return std::string(text.substr(at)); }
};

constexpr std::string_view how_ranges = "a range is written 10..16";
constexpr std::string_view how_exponents = "exponents are not used: choose a unit such as mohm, uF or kA";
constexpr std::string_view how_gauges = "a fraction is only an AWG size: 1/0, 2/0, 3/0 or 4/0";

// What follows the first or the second number of a range: nothing, a unit, or something that shows that
// another number was meant.
std::optional<std::string> tail_help(NumberScan& scan, bool second) {
    const char next = scan.peek();
    if (next == '.' && scan.peek(1) == '.') return std::string(how_ranges);
    if (next == '.') {
        if (scan.digit_at(1)) return "a number has one decimal point";
        return "write " + scan.upto_here() + std::string(scan.text.substr(scan.at + 1));
    }
    if ((next == '-' || next == '+') && scan.digit_at(1)) {
        if (next == '+' || second) return std::string(how_ranges);
        const std::size_t dash = scan.at++;
        scan.decimal();
        return fmt::format("a range is written {}..{}", scan.text.substr(0, dash),
                           scan.text.substr(dash + 1, scan.at - dash - 1));
    }
    if (next == '_' && scan.digit_at(1)) return "digits are written without signs between them";
    if (next == '/') {
        // One digit from 1 to 4, alone or behind the points of a range, and a nought: 2/0, 16..1/0.
        const std::size_t digit = scan.at - 1;
        const bool alone = second ? digit > 1 && scan.text.substr(digit - 2, 2) == ".." : digit == 0;
        const bool gauge = alone && scan.text[digit] >= '1' && scan.text[digit] <= '4' &&
                           scan.peek(1) == '0' && !scan.digit_at(2) && scan.peek(2) != '.';
        if (!gauge) return std::string(how_gauges);
    }
    if (next == 'e' || next == 'E') {
        std::size_t ahead = scan.peek(1) == '-' || scan.peek(1) == '+' ? 2 : 1;
        if (!scan.digit_at(ahead)) return std::nullopt;
        while (scan.digit_at(ahead)) ++ahead;
        if (scan.at + ahead == scan.text.size()) return std::string(how_exponents);
    }
    return std::nullopt;
}

}  // namespace

Character decode_character(std::string_view text) {
    const auto byte = [&text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    if (text.empty()) return {};
    const unsigned first = byte(0);
    if (first < 0x80) return {first, 1};
    const std::uint32_t bytes = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
    if (first < 0xC2 || first > 0xF4 || text.size() < bytes) return {};
    char32_t code = first & (0x7Fu >> bytes);
    for (std::uint32_t i = 1; i < bytes; ++i) {
        if (!continues_a_character(text[i])) return {};
        code = (code << 6) | (byte(i) & 0x3Fu);
    }
    constexpr char32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    if (code < smallest[bytes] || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return {};
    return {code, bytes};
}

void check_characters(const Sources& sources, FileId file, std::vector<Diagnostic>& mistakes) {
    constexpr std::size_t block = 256;
    const std::string_view text = sources.file(file).text;
    CharacterCheck check(text, file, mistakes);
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t count = std::min(block, text.size() - at);
        at = needs_a_look(text.data() + at, count) ? check.look(at, at + count) : at + count;
    }
}

Diagnostic foreign_character(Span where, Character character) {
    std::string shown;
    if (shows_nothing(character.code)) {
        shown = fmt::format("U+{:04X}", static_cast<std::uint32_t>(character.code));
    } else {
        const auto code = static_cast<std::uint32_t>(character.code);
        const auto tail = [](std::uint32_t bits) { return static_cast<char>(0x80u | (bits & 0x3Fu)); };
        if (code < 0x800) {
            shown = {static_cast<char>(0xC0u | (code >> 6)), tail(code)};
        } else if (code < 0x10000) {
            shown = {static_cast<char>(0xE0u | (code >> 12)), tail(code >> 6), tail(code)};
        } else {
            shown = {static_cast<char>(0xF0u | (code >> 18)), tail(code >> 12), tail(code >> 6), tail(code)};
        }
        shown = "'" + shown + "'";
    }
    const auto* found = std::find_if(std::begin(spellings), std::end(spellings),
                                     [&](const Spelling& row) { return row.character == character.code; });
    const std::string_view help = found != std::end(spellings)
                                      ? found->help
                                      : "names are written with a to z, A to Z, 0 to 9, '_' and '-'";
    return {"foreign-character",
            where,
            fmt::format("the character {} is used only inside texts and comments", shown),
            "",
            {},
            std::string(help)};
}

std::optional<std::string> malformed_number_help(std::string_view number) {
    NumberScan scan{number};
    if (scan.peek() == '+') return fmt::format("write {}; a plus sign is not written", number.substr(1));
    if (scan.peek() == '-') ++scan.at;
    if (scan.peek() == '.') return "write " + scan.upto_here() + "0" + scan.rest();
    scan.decimal();
    if (scan.peek() != '.' || scan.peek(1) != '.') return tail_help(scan, false);
    scan.at += 2;
    if (scan.peek() == '-') ++scan.at;
    if (!scan.digit_at(0)) return std::string(how_ranges);
    scan.decimal();
    return tail_help(scan, true);
}

}  // namespace loomward
