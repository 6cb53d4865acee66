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

}  // namespace

std::optional<Quantity> quantity_from_text(std::string_view text) {
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
