#include "parser/text/number_text.hpp"

#include <array>
#include <charconv>
#include <cstdint>

namespace loomward {
namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

// Reads from the front of `text` and moves it on.
struct Scanner {
    std::string_view text;
    std::size_t at = 0;

    char peek(std::size_t ahead = 0) const { return at + ahead < text.size() ? text[at + ahead] : '\0'; }

    // [ "-" ] digits [ "." digits ]. Up to fifteen digits are exact as an integer, and so is the power of
    // ten, so that one division rounds once and right; longer ones go the slow way.
    bool decimal(double& value, bool& whole) {
        static constexpr std::array<double, 16> powers = {1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                          1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
        const std::size_t start = at;
        const bool negative = peek() == '-';
        if (negative) ++at;
        if (!is_digit(peek())) return false;
        std::uint64_t digits = 0;
        std::size_t count = 0;
        std::size_t decimals = 0;
        for (; is_digit(peek()); ++at, ++count)
            digits = digits * 10 + static_cast<std::uint64_t>(peek() - '0');
        if (peek() == '.' && is_digit(peek(1))) {
            whole = false;
            for (++at; is_digit(peek()); ++at, ++count, ++decimals)
                digits = digits * 10 + static_cast<std::uint64_t>(peek() - '0');
        }
        if (count <= 15) {
            value = static_cast<double>(digits) / powers[decimals];
            if (negative) value = -value;
            return true;
        }
        const auto result = std::from_chars(text.data() + start, text.data() + at, value);
        return result.ec == std::errc();
    }

    // A decimal, or the n/0 of a wire gauge.
    bool end_of_range(double& value, bool& whole, bool& gauge, std::string_view& written) {
        const std::size_t start = at;
        if (peek() >= '1' && peek() <= '4' && peek(1) == '/' && peek(2) == '0') {
            gauge = true;
            value = 1 - (peek() - '0');
            at += 3;
        } else if (!decimal(value, whole)) {
            return false;
        }
        written = text.substr(start, at - start);
        return true;
    }
};

}  // namespace

std::optional<NumberText> read_number(std::string_view text) {
    Scanner scan{text};
    NumberText number;
    if (!scan.end_of_range(number.lo, number.whole, number.gauge_lo, number.first)) return std::nullopt;
    number.hi = number.lo;
    if (scan.peek() == '.' && scan.peek(1) == '.') {
        scan.at += 2;
        number.range = true;
        if (!scan.end_of_range(number.hi, number.whole, number.gauge_hi, number.second)) return std::nullopt;
    }
    number.unit = text.substr(scan.at);
    if (!number.unit.empty() && !is_letter(number.unit.front()) && number.unit.front() != '%')
        return std::nullopt;
    return number;
}

std::optional<int> read_count(std::string_view text) {
    if (text.empty() || text.size() > 9) return std::nullopt;
    int value = 0;
    for (const char c : text) {
        if (!is_digit(c)) return std::nullopt;
        value = value * 10 + (c - '0');
    }
    return value;
}

}  // namespace loomward
