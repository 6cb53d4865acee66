#include <charconv>

#include "parser/language/quantity.hpp"
#include "parser/language/units.hpp"

namespace loomward {
namespace {

// Takes a decimal number off the front of the text.
std::optional<double> take_number(std::string_view& text) {
    double number = 0;
    const char* const end = text.data() + text.size();
    // "40..58": from_chars would take "40." and leave ".58".
    const std::size_t dots = text.find("..");
    const char* const stop = dots == std::string_view::npos ? end : text.data() + dots;
    const auto [after, error] = std::from_chars(text.data(), stop, number, std::chars_format::fixed);
    if (error != std::errc()) return std::nullopt;
    text.remove_prefix(static_cast<std::size_t>(after - text.data()));
    return number;
}

// "2 AWG", "2/0 AWG", "16..10 AWG": sizes in mm2.
std::optional<Quantity> gauges_from_text(std::string_view text) {
    const auto gauge = [](std::string_view number) -> std::optional<int> {
        int count = 0;
        const auto [after, error] = std::from_chars(number.data(), number.data() + number.size(), count);
        if (error != std::errc()) return std::nullopt;
        const std::string_view rest = number.substr(static_cast<std::size_t>(after - number.data()));
        // 1/0 is one step beyond 1, 2/0 two: 0, -1.
        return rest.empty() ? std::optional(count) : rest == "/0" ? std::optional(1 - count) : std::nullopt;
    };
    const std::string_view numbers = text.substr(0, text.find(' '));
    const std::size_t dots = numbers.find("..");
    const auto low = gauge(numbers.substr(0, dots));
    const auto high = dots == std::string_view::npos ? low : gauge(numbers.substr(dots + 2));
    if (!low || !high) return std::nullopt;
    return Quantity{awg_to_mm2(*low), awg_to_mm2(*high), Dimension::area, Knowledge::stated};
}

}  // namespace

std::optional<Quantity> quantity_from_text(std::string_view text) {
    if (const std::size_t blank = text.find(' ');
        blank != std::string_view::npos && text.substr(blank + 1).starts_with("AWG"))
        return gauges_from_text(text);
    const std::optional<double> low = take_number(text);
    if (!low) return std::nullopt;
    std::optional<double> high = low;
    if (text.starts_with("..")) {
        text.remove_prefix(2);
        high = take_number(text);
        if (!high) return std::nullopt;
    }
    while (text.starts_with(' ')) text.remove_prefix(1);
    const UnitInfo* unit = find_unit(text.substr(0, text.find(' ')));
    if (!unit) return std::nullopt;
    return Quantity{*low * unit->factor, *high * unit->factor, unit->dimension, Knowledge::stated};
}

}  // namespace loomward
