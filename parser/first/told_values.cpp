// What somebody types on a command line for a value, made what the language writes.
#include <fmt/format.h>

#include <algorithm>

#include "parser/first/first_harness.hpp"
#include "parser/language/units.hpp"
#include "parser/text/number_text.hpp"

namespace loomward {
namespace {

std::vector<std::string_view> words_of(std::string_view text) {
    std::vector<std::string_view> words;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t begin = text.find_first_not_of(" \t\r\n,", at);
        if (begin == std::string_view::npos) break;
        at = std::min(text.find_first_of(" \t\r\n,", begin), text.size());
        words.push_back(text.substr(begin, at - begin));
    }
    return words;
}

// One value, and how many of the words it took.
struct Taken {
    std::string text;
    Dimension dimension = Dimension::none;
    bool range = false;
    std::size_t words = 0;
    std::string trouble;
};

Taken refused(std::string trouble) {
    return {{}, {}, {}, 0, std::move(trouble)};
}

Taken take_value(const std::vector<std::string_view>& words, std::size_t first, Dimension wanted) {
    const std::string_view word = words[first];
    const std::optional<NumberText> number = read_number(word);
    const std::string example(wanted == Dimension::none ? "12 V" : info(wanted).example);
    if (!number) return refused(fmt::format("'{}' is no number with a unit, as {}", word, example));
    const bool glued = !number->unit.empty();
    if (!glued && first + 1 == words.size())
        return refused(wanted == Dimension::none
                           ? fmt::format("{} has no unit", word)
                           : fmt::format("{} has no unit: {} {}", word, word, info(wanted).unit));
    const std::string_view typed = glued ? number->unit : words[first + 1];
    const UnitInfo* unit = find_unit(typed);
    if (!unit) unit = find_unit(unit_meant_by(typed, wanted));
    if (!unit) return refused(fmt::format("'{}' is not a unit", typed));
    std::string_view digits = glued ? word.substr(0, word.size() - number->unit.size()) : word;
    return {fmt::format("{} {}", digits, unit->name),
            unit->dimension,
            number->range,
            glued ? std::size_t{1} : std::size_t{2},
            {}};
}

// Whether it lies where the language has numbers of that dimension.
std::string beyond(const std::string& text, Dimension dimension) {
    const std::optional<Quantity> value = quantity_from_text(text);
    const DimensionInfo& of = info(dimension);
    if (!value) return fmt::format("'{}' is no value of the language", text);
    if (value->lo < of.lowest || value->hi > of.highest || value->lo > value->hi ||
        (value->hi == 0 && dimension != Dimension::temperature))
        return fmt::format("{} is not between {}", text, of.span);
    return {};
}

}  // namespace

ToldValue told_value(std::string_view typed, Dimension dimension, bool range) {
    const std::vector<std::string_view> words = words_of(typed);
    const std::string_view example = range ? info(dimension).range : info(dimension).example;
    if (words.empty()) return {{}, fmt::format("a value is missing, as {}", example)};
    const Taken taken = take_value(words, 0, dimension);
    if (!taken.trouble.empty()) return {{}, taken.trouble};
    if (taken.dimension != dimension)
        return {{}, fmt::format("{} is not {}, as {}", taken.text, info(dimension).a_word, example)};
    if (taken.words < words.size())
        return {{}, fmt::format("'{}' is more than the {}", words[taken.words], info(dimension).word)};
    if (range && !taken.range)
        return {{}, fmt::format("{} is one number; both ends are wanted, as {}", taken.text, example)};
    if (std::string trouble = beyond(taken.text, dimension); !trouble.empty())
        return {{}, std::move(trouble)};
    return {taken.text, {}};
}

ToldValue told_values(std::string_view typed, const std::vector<Dimension>& dimensions) {
    const std::vector<std::string_view> words = words_of(typed);
    std::vector<std::string> values(dimensions.size());
    std::string all;
    for (std::size_t at = 0; at < words.size();) {
        const Taken taken = take_value(words, at, Dimension::none);
        if (!taken.trouble.empty()) return {{}, taken.trouble};
        const auto place = std::find(dimensions.begin(), dimensions.end(), taken.dimension);
        if (place == dimensions.end()) return {{}, fmt::format("{} is not what belongs here", taken.text)};
        std::string& value = values[static_cast<std::size_t>(place - dimensions.begin())];
        if (!value.empty()) return {{}, fmt::format("{} and {}: one of them only", value, taken.text)};
        if (std::string trouble = beyond(taken.text, taken.dimension); !trouble.empty())
            return {{}, std::move(trouble)};
        value = taken.text;
        at += taken.words;
    }
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (values[i].empty())
            return {{},
                    fmt::format("its {} is missing, as {}", info(dimensions[i]).word,
                                info(dimensions[i]).example)};
        all += (i == 0 ? "" : " ") + values[i];
    }
    return {all, {}};
}

ToldLoad told_load(std::string_view typed) {
    ToldLoad told;
    const std::vector<std::string_view> words = words_of(typed);
    std::vector<Dimension> seen;
    for (std::size_t at = 0; at < words.size();) {
        const bool begins_value = read_number(words[at]).has_value();
        if (!begins_value && seen.empty()) {
            told.load.label += (told.load.label.empty() ? "" : " ") + std::string(words[at++]);
            continue;
        }
        const Taken taken = take_value(words, at, Dimension::none);
        if (!taken.trouble.empty()) return {{}, taken.trouble};
        const Dimension of = taken.dimension;
        if (of != Dimension::voltage && of != Dimension::power && of != Dimension::current &&
            of != Dimension::resistance)
            return {
                {},
                fmt::format("{} is not what a load has: a voltage, and a power or a current", taken.text)};
        for (const Dimension other : seen)
            if (other == of || (other != Dimension::voltage && of != Dimension::voltage))
                return {{},
                        fmt::format("{} beside {}: a load has a voltage, and one of power, current or "
                                    "resistance",
                                    told.load.values.back(), taken.text)};
        if (std::string trouble = beyond(taken.text, of); !trouble.empty()) return {{}, std::move(trouble)};
        seen.push_back(of);
        told.load.values.push_back(taken.text);
        at += taken.words;
    }
    if (words.empty()) told.trouble = "what is it? a name and what stands on it, as: horn 12 V 3 A";
    return told;
}

}  // namespace loomward
