#include "parser/attributes/value_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "parser/attributes/attribute_messages.hpp"
#include "parser/language/colours.hpp"
#include "parser/language/units.hpp"

namespace loomward {
namespace {

using namespace literals;

bool is_name(std::string_view word) {
    if (word.empty() || word.front() == '.' || word.back() == '.' || word.find("..") != word.npos)
        return false;
    return std::all_of(word.begin(), word.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
               c == '-' || c == '+' || c == '.';
    });
}

}  // namespace

std::string_view ValueReader::shown(std::uint32_t at) const {
    const NodeKind kind = node(at).kind;
    return kind == NodeKind::block || kind == NodeKind::wire ? token(at).substr(0, 1) : token(at);
}

bool ValueReader::begins_an_attribute(std::string_view word) const {
    return lookup_.find(word).has_value() || (lookup_.colour && read_colour(word).has_value());
}

Dimension ValueReader::peek_dimension(ValueCursor cursor) const {
    if (at_word(cursor, "about") || at_word(cursor, "unknown")) advance(cursor);
    if (cursor.done()) return Dimension::none;
    std::string_view unit;
    if (node(cursor.at).kind == NodeKind::number) {
        const std::string_view digits = token(cursor.at);
        // Most numbers are digits to the end, with the unit behind a blank; "16mm2" ends in one too.
        if (digits.find_first_not_of("0123456789.-") != digits.npos) {
            const auto number = read_number(digits);
            if (!number) return Dimension::none;
            unit = number->unit;
        }
        advance(cursor);
    }
    if (unit.empty() && !cursor.done()) unit = token(cursor.at);
    const UnitInfo* row = find_unit(unit);
    return row ? row->dimension : Dimension::none;
}

bool ValueReader::count(ValueCursor& cursor, Attr attribute, Value& value) {
    const auto number = read_count(token(cursor.at));
    if (!number || *number < 1 || *number > 100'000)
        return fail(messages::malformed_count(span(cursor.at), shown(cursor.at), attribute));
    value = {ValueType::count,
             Dimension::none,
             Knowledge::stated,
             static_cast<double>(*number),
             static_cast<double>(*number),
             token(cursor.at),
             span(cursor.at)};
    advance(cursor);
    return true;
}

bool ValueReader::name(ValueCursor& cursor, Attr attribute, Value& value) {
    const NodeKind kind = node(cursor.at).kind;
    if (kind != NodeKind::word && kind != NodeKind::number)
        return fail(messages::wrong_value(span(cursor.at), shown(cursor.at), "a name", attribute));
    const std::string_view word = token(cursor.at);
    if (!is_name(word)) return fail(messages::malformed_name(span(cursor.at), fmt::format("'{}'", word)));
    value = {ValueType::name, Dimension::none, Knowledge::stated, 0, 0, word, span(cursor.at)};
    if (const auto number = read_count(word)) {
        value.type = ValueType::count;
        value.lo = value.hi = *number;
    }
    advance(cursor);
    return true;
}

bool ValueReader::text(ValueCursor& cursor, Attr attribute, Value& value) {
    if (node(cursor.at).kind != NodeKind::text)
        return fail(messages::wrong_value(span(cursor.at), fmt::format("'{}'", shown(cursor.at)),
                                          "a text; texts stand between quotes", attribute));
    value = {ValueType::text, Dimension::none, Knowledge::stated, 0, 0, text_of(cursor.at), span(cursor.at)};
    advance(cursor);
    return true;
}

bool ValueReader::colour(ValueCursor& cursor, Value& value) {
    const auto pair = read_colour(token(cursor.at));
    if (!pair) return fail(messages::unknown_colour(span(cursor.at), shown(cursor.at)));
    value = {ValueType::colour,
             Dimension::none,
             Knowledge::stated,
             static_cast<double>(pair->first),
             static_cast<double>(pair->second),
             token(cursor.at),
             span(cursor.at)};
    advance(cursor);
    return true;
}

bool ValueReader::series(ValueCursor& cursor, Attr attribute, Value& first, Value& second) {
    const std::string_view word = token(cursor.at);
    const std::size_t s = word.find('s');
    const bool whole = s != word.npos && word.back() == 'p' && word.size() > s + 2;
    const auto in_series = read_count(word.substr(0, std::min(s, word.size())));
    const auto in_parallel = whole ? read_count(word.substr(s + 1, word.size() - s - 2)) : std::nullopt;
    if (!whole || !in_series || !in_parallel)
        return fail(messages::malformed_cells(span(cursor.at), shown(cursor.at)));
    if (*in_series < 1 || *in_series > 1000 || *in_parallel < 1 || *in_parallel > 1000)
        return fail({"out-of-range",
                     span(cursor.at),
                     fmt::format("'{}' is no pack a harness can have", word),
                     {},
                     {},
                     "counts from 1 to 1000 are accepted; for instance " + example_of(attribute)});
    first = {ValueType::count,
             Dimension::none,
             Knowledge::stated,
             static_cast<double>(*in_series),
             static_cast<double>(*in_series),
             word,
             span(cursor.at)};
    second = first;
    second.lo = second.hi = *in_parallel;
    advance(cursor);
    return true;
}

std::string_view ValueReader::text_of(std::uint32_t at) {
    std::string_view inside = token(at);
    if (!inside.empty() && inside.front() == '"') inside.remove_prefix(1);
    if (!inside.empty() && inside.back() == '"') inside.remove_suffix(1);
    if (inside.find('\\') == inside.npos) return inside;
    std::string& plain = strings_.emplace_back();
    for (std::size_t i = 0; i < inside.size(); ++i) {
        if (inside[i] == '\\' && i + 1 < inside.size()) ++i;
        plain += inside[i];
    }
    return plain;
}

}  // namespace loomward
