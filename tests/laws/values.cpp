#include "tests/laws/values.hpp"

#include <algorithm>
#include <cctype>

#include "parser/language/units.hpp"

namespace laws {
namespace {

bool part_of_a_word(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '.' || c == '-' || c == '+' ||
           c == '/';
}

// The same text with comments and the inside of texts blanked.
std::string code_of(const std::string& text) {
    std::string code = text;
    bool quoted = false, comment = false;
    for (char& c : code) {
        if (c == '\n') quoted = comment = false;
        if (!comment && c == '"') quoted = !quoted;
        if (!quoted && c == '#') comment = true;
        if ((comment || quoted) && c != '\n') c = ' ';
    }
    return code;
}

}  // namespace

std::vector<ValuePlace> value_places(const std::string& text, const loomward::Harness& harness) {
    std::vector<ValuePlace> places;
    const std::string code = code_of(text);
    for (std::size_t at = 0; at < code.size(); ++at) {
        if (!std::isdigit(static_cast<unsigned char>(code[at]))) continue;
        std::size_t begin = at;
        while (begin > 0 && part_of_a_word(code[begin - 1])) --begin;
        std::size_t end = at;
        while (end < code.size() && part_of_a_word(code[end])) ++end;
        at = end;
        const std::string number = code.substr(begin, end - begin);
        if (number.find_first_not_of("0123456789.-") != number.npos) continue;
        while (end < code.size() && code[end] == ' ') ++end;
        std::size_t stop = end;
        while (stop < code.size() &&
               (std::isalnum(static_cast<unsigned char>(code[stop])) || code[stop] == '%'))
            ++stop;
        const std::string unit = code.substr(end, stop - end);
        if (loomward::find_unit(unit)) places.push_back({begin, stop, number, unit});
    }
    const loomward::FileId file = harness.where.file;
    for (const loomward::Value& value : harness.value_store)
        if (value.type == loomward::ValueType::word && value.known == loomward::Knowledge::stated &&
            value.where.valid() && value.where.file == file)
            places.push_back({value.where.begin, value.where.end, {}, {}});
    std::sort(places.begin(), places.end(),
              [](const ValuePlace& a, const ValuePlace& b) { return a.begin < b.begin; });
    places.erase(std::unique(places.begin(), places.end(),
                             [](const ValuePlace& a, const ValuePlace& b) { return a.begin == b.begin; }),
                 places.end());
    return places;
}

std::string with(const std::string& text, const ValuePlace& place, const std::string& written) {
    return text.substr(0, place.begin) + written + text.substr(place.end);
}

std::string line_of(const std::string& text, std::size_t at) {
    const std::size_t begin = text.rfind('\n', at) == text.npos ? 0 : text.rfind('\n', at) + 1;
    const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(begin), '\n');
    return std::to_string(line) + ": " + text.substr(begin, text.find('\n', at) - begin);
}

}  // namespace laws
