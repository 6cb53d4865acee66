#include "parser/language/route_example.hpp"

#include <algorithm>
#include <array>

namespace loomward {
namespace {

bool of_a_name(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
}

// The number after the highest of "W7" in the text: a wire of that name is not there.
std::string free_wire_name(std::string_view text) {
    constexpr std::size_t most_digits = 6;
    std::size_t highest = 0;
    for (std::size_t at = text.find('W'); at != std::string_view::npos; at = text.find('W', at + 1)) {
        if (at > 0 && of_a_name(text[at - 1])) continue;
        std::size_t number = 0, to = at + 1;
        for (; to < text.size() && text[to] >= '0' && text[to] <= '9' && to - at <= most_digits; ++to)
            number = number * 10 + static_cast<std::size_t>(text[to] - '0');
        highest = std::max(highest, number);
    }
    return "W" + std::to_string(highest + 1);
}

}  // namespace

std::string route_help(std::string_view from, std::string_view to, std::string_view wire,
                       std::string_view text) {
    return "a wire between two places is written in a route: route " + std::string(from) + " (" +
           (wire.empty() ? free_wire_name(text) : std::string(wire)) + ") " + std::string(to) +
           "; its size, length and colour follow its name in the brackets";
}

bool joins_places(std::string_view sign) {
    constexpr std::array<std::string_view, 3> words = {"to", "from", "and"};
    if (std::find(words.begin(), words.end(), sign) != words.end()) return true;
    if (sign == "\u2192" || sign == "\u21D2" || sign == "\u2194" || sign == "\u00B7" || sign == "\u2022" ||
        sign == "\u2013" || sign == "\u2014")
        return true;
    return !sign.empty() && sign.find_first_not_of("-=<>.~|") == std::string_view::npos && sign != ".." &&
           sign != "..." && sign != "=";
}

}  // namespace loomward
