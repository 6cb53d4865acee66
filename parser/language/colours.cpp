#include "parser/language/colours.hpp"

#include <array>
#include <utility>

#include "parser/text/suggest.hpp"

namespace loomward {
namespace {

struct ColourRow {
    std::string_view word;
    std::string_view letters;
};

// In the order of IEC 60757 and of enum Colour.
constexpr auto colours = std::to_array<ColourRow>({
    {"", ""},
    {"black", "BK"},
    {"brown", "BN"},
    {"red", "RD"},
    {"orange", "OG"},
    {"yellow", "YE"},
    {"green", "GN"},
    {"blue", "BU"},
    {"violet", "VT"},
    {"grey", "GY"},
    {"white", "WH"},
    {"pink", "PK"},
    {"gold", "GD"},
    {"turquoise", "TQ"},
    {"silver", "SR"},
});

constexpr auto words_elsewhere = std::to_array<std::pair<std::string_view, std::string_view>>({
    {"gray", "grey"},
    {"slate", "grey"},
    {"purple", "violet"},
    {"lilac", "violet"},
    {"tan", "brown"},
    {"clear", "white"},
    {"cyan", "turquoise"},
});

Colour one_colour(std::string_view word) {
    for (std::size_t i = 1; i < colours.size(); ++i)
        if (colours[i].word == word) return static_cast<Colour>(i);
    return Colour::none;
}

}  // namespace

std::string_view colour_word(Colour colour) {
    return colours[static_cast<std::size_t>(colour)].word;
}
std::string_view colour_letters(Colour colour) {
    return colours[static_cast<std::size_t>(colour)].letters;
}

std::optional<ColourPair> read_colour(std::string_view word) {
    const std::size_t hyphen = word.find('-');
    ColourPair pair{one_colour(word.substr(0, hyphen)), Colour::none};
    if (pair.first == Colour::none) return std::nullopt;
    if (hyphen == std::string_view::npos) return pair;
    pair.second = one_colour(word.substr(hyphen + 1));
    if (pair.second == Colour::none || pair.second == pair.first) return std::nullopt;
    return pair;
}

std::string_view colour_meant_by(std::string_view word) {
    for (const auto& [other, ours] : words_elsewhere)
        if (other == word) return ours;
    Suggestion nearest(word);
    for (const ColourRow& row : colours) nearest.offer(row.word);
    return nearest.best();
}

}  // namespace loomward
