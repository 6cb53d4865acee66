#include "parser/value_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "parser/attribute_messages.hpp"
#include "parser/colours.hpp"
#include "parser/units.hpp"

namespace loomward {
namespace {

using namespace literals;

// Words that stand between the values of an attribute or of a mode line.
constexpr auto glue = std::to_array<std::string_view>(
    {"at", "for", "after", "of", "then", "repeating", "dc", "ac", "about", "unknown"});

// Nothing of these is no part at all; the arithmetic after it would have no answer either.
constexpr auto more_than_nothing = {"efficiency"_attr, "output"_attr,        "coil"_attr,
                                    "input"_attr,      "voltage"_attr,       "cell-voltage"_attr,
                                    "capacity"_attr,   "cell-capacity"_attr, "phase-peak"_attr};

bool must_be_more(const Wanted& wanted) {
    if (!wanted.attribute) return false;
    if (is_nameless(*wanted.attribute)) return true;
    return std::find(more_than_nothing.begin(), more_than_nothing.end(), *wanted.attribute) !=
           more_than_nothing.end();
}

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
        if (digits.back() < '0' || digits.back() > '9') {  // else no unit can be glued to it
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

// ---- quantities ---------------------------------------------------------------------------------------

bool ValueReader::quantity(ValueCursor& cursor, const Wanted& wanted, Value& value) {
    const std::uint32_t begin = cursor.at;
    value.type = ValueType::quantity;
    if (at_word(cursor, "unknown")) return unknown_quantity(cursor, wanted, value);
    if (at_word(cursor, "about")) {
        value.known = Knowledge::about;
        advance(cursor);
    }
    if (cursor.done() || node(cursor.at).kind != NodeKind::number) {
        const std::uint32_t at = cursor.done() ? begin : cursor.at;
        const std::string shown_value = fmt::format("'{}'", shown(at));
        const std::string kinds = messages::dimensions_in_words(wanted.dimensions);
        if (wanted.attribute)
            return fail(messages::wrong_value(span(at), shown_value, kinds, *wanted.attribute));
        return fail({"wrong-value", span(at), fmt::format("{} is not {}", shown_value, kinds), {}, {}, {}});
    }
    const std::uint32_t at = cursor.at;
    const auto number = read_number(token(at));
    if (!number)
        return fail(messages::malformed_number(span(at), token(at), "a number is written 12 or 0.5"));
    advance(cursor);
    Unit unit;
    if (!unit_after(cursor, *number, at, wanted, unit)) return false;
    value.dimension = unit.info->dimension;
    value.text = unit.written;
    value.where = {tree_.file, node(begin).begin, unit.where.end};
    if (!fits(value.dimension, wanted, {tree_.file, node(at).begin, unit.where.end})) return false;
    return convert(*number, unit, wanted, value);
}

bool ValueReader::unknown_quantity(ValueCursor& cursor, const Wanted& wanted, Value& value) {
    const std::uint32_t at = cursor.at;
    value.known = Knowledge::unknown;
    value.where = span(at);
    advance(cursor);
    const UnitInfo* unit = cursor.done() ? nullptr : find_unit(token(cursor.at));
    if (unit) {
        value.dimension = unit->dimension;
        value.text = token(cursor.at);
        value.where = span(at, cursor.at);
        if (!fits(unit->dimension, wanted, value.where)) return false;
        advance(cursor);
        return true;
    }
    if (!wanted.attribute)
        return fail(
            {"wrong-value", span(at), fmt::format("'{}' cannot be unknown", wanted.name), {}, {}, {}});
    if (wanted.name.empty())
        return fail({"missing-unit",
                     span(at),
                     "'unknown' does not say what is not known",
                     {},
                     {},
                     messages::nameless_values(owner_.kind)});
    for (const DimensionInfo& row : dimension_table())
        if (wanted.dimensions & bit(row.dimension)) {
            value.dimension = row.dimension;
            break;
        }
    return true;
}

bool ValueReader::unit_after(ValueCursor& cursor, const NumberText& number, std::uint32_t at,
                             const Wanted& wanted, Unit& unit) {
    if (!number.unit.empty()) {
        unit.written = number.unit;
        unit.where = {tree_.file, node(at).end - static_cast<std::uint32_t>(number.unit.size()),
                      node(at).end};
    } else {
        if (cursor.done() || node(cursor.at).kind != NodeKind::word) return missing_unit(at, number, wanted);
        unit.written = token(cursor.at);
        unit.where = span(cursor.at);
    }
    unit.info = find_unit(unit.written);
    if (unit.info) {
        if (number.unit.empty()) advance(cursor);
        return true;
    }
    const bool other = std::find(glue.begin(), glue.end(), unit.written) != glue.end();
    if (number.unit.empty() && (other || begins_an_attribute(unit.written)))
        return missing_unit(at, number, wanted);
    Dimension only = Dimension::none;
    for (const DimensionInfo& row : dimension_table())
        if (wanted.dimensions == bit(row.dimension)) only = row.dimension;
    const std::string_view meant = unit_meant_by(unit.written, only);
    return fail(messages::unknown_unit(
        unit.where, unit.written, meant, wanted.dimensions,
        wanted.name.empty()
            ? messages::nameless_values(owner_.kind)
            : fmt::format("'{}' is {}", wanted.name, messages::dimensions_in_words(wanted.dimensions))));
}

bool ValueReader::missing_unit(std::uint32_t at, const NumberText& number, const Wanted& wanted) {
    const std::string_view digits = number.range ? token(at) : number.first;
    if (wanted.name.empty())
        return fail(messages::missing_unit(span(at), token(at), messages::nameless_values(owner_.kind)));
    std::string examples;
    for (const DimensionInfo& row : dimension_table())
        if (wanted.dimensions & bit(row.dimension))
            examples += fmt::format("{}{} {}", examples.empty() ? "" : " or ", digits, row.unit);
    return fail(messages::missing_unit(
        span(at), token(at),
        wanted.first ? fmt::format("'{}' is {}: {}", wanted.name,
                                   messages::dimensions_in_words(wanted.dimensions), examples)
                     : fmt::format("'{}' takes {} here: {}", wanted.name,
                                   messages::dimensions_in_words(wanted.dimensions), examples)));
}

bool ValueReader::fits(Dimension dimension, const Wanted& wanted, Span where) {
    if (wanted.dimensions & bit(dimension)) return true;
    if (wanted.name.empty()) return fail(messages::no_nameless(where, owner_.kind, dimension));
    if (wanted.first)
        return fail(messages::wrong_dimension(where, fmt::format("'{}'", wanted.name), wanted.dimensions,
                                              written(where), dimension));
    return fail(messages::wrong_dimension(where, fmt::format("the value wanted here for '{}'", wanted.name),
                                          wanted.dimensions, written(where), dimension));
}

bool ValueReader::convert(const NumberText& number, const Unit& unit, const Wanted& wanted, Value& value) {
    const Span where = value.where;
    const bool gauge = unit.info->factor == 0;
    if (!gauge && (number.gauge_lo || number.gauge_hi))
        return fail(
            messages::malformed_number(where, number.first, "sizes from 1/0 to 4/0 are followed by AWG"));
    if (gauge) {
        if (!convert_gauge(number, value))
            return fail(messages::out_of_range(where, written(where), Dimension::area, true));
    } else {
        value.lo = number.lo * unit.info->factor;
        value.hi = number.hi * unit.info->factor;
    }
    if (number.range && value.lo > value.hi) {
        const std::string_view range(
            number.first.data(),
            static_cast<std::size_t>(number.second.data() + number.second.size() - number.first.data()));
        const auto begin = static_cast<std::uint32_t>(number.first.data() - text_.data());
        return fail(messages::downward_range(
            {tree_.file, begin, begin + static_cast<std::uint32_t>(range.size())}, range,
            fmt::format("{}..{} {}", number.second, number.first, unit.written)));
    }
    const DimensionInfo& span_of = info(value.dimension);
    if (value.lo < span_of.lowest || value.hi > span_of.highest)
        return fail(messages::out_of_range(where, written(where), value.dimension, gauge));
    if (value.hi <= 0 && must_be_more(wanted))
        return fail(messages::zero(where, written(where), value.dimension, owner_));
    if (wanted.range && !number.range)
        return fail(messages::not_a_range(where, written(where), wanted.attribute.value_or("ambient"_attr)));
    if (number.range && value.known == Knowledge::about)
        return fail({"about-range",
                     where,
                     "a range already says that the value is not certain",
                     {},
                     {},
                     "leave 'about' out"});
    return true;
}

// A thicker wire has a smaller number, so that a rising range of sizes is written 16..10 AWG.
bool ValueReader::convert_gauge(const NumberText& number, Value& value) {
    const auto sound = [&](double size, bool with_nought) {
        return with_nought || (number.whole && size >= 1 && size <= 30);
    };
    if (!sound(number.lo, number.gauge_lo) ||
        !sound(number.hi, number.range ? number.gauge_hi : number.gauge_lo))
        return false;
    value.lo = awg_to_mm2(static_cast<int>(number.lo));
    value.hi = awg_to_mm2(static_cast<int>(number.hi));
    return true;
}

// ---- the others ---------------------------------------------------------------------------------------

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
