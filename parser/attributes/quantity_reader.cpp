// Reads quantities: number, range, estimate or unknown, and the unit that goes with it.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>

#include "parser/attributes/attribute_messages.hpp"
#include "parser/attributes/value_reader.hpp"

namespace loomward {
namespace {

using namespace literals;

// Words that stand between the values of an attribute or of a mode line.
constexpr auto glue = std::to_array<std::string_view>(
    {"at", "for", "after", "of", "then", "repeating", "dc", "ac", "about", "unknown"});

bool must_be_more(const Wanted& wanted) {
    return wanted.attribute && (is_nameless(*wanted.attribute) || info(*wanted.attribute).limits.above_zero);
}

}  // namespace

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
    return convert(*number, unit, wanted, value) && inches_after(cursor, *number, unit, value);
}

// "6 ft 3 in": the inches go on with the feet.
bool ValueReader::inches_after(ValueCursor& cursor, const NumberText& feet, const Unit& unit, Value& value) {
    if (unit.info->name != "ft" || feet.range || cursor.done() || node(cursor.at).kind != NodeKind::number)
        return true;
    const std::uint32_t at = cursor.at;
    const auto inches = read_number(token(at));
    if (!inches) return true;
    ValueCursor after = cursor;
    advance(after);
    std::uint32_t end = at;
    if (inches->unit.empty()) {
        if (after.done() || node(after.at).kind != NodeKind::word || token(after.at) != "in") return true;
        end = after.at;
        advance(after);
    } else if (inches->unit != "in") {
        return true;
    }
    if (inches->range || inches->lo < 0 || inches->lo >= 12 || !feet.whole)
        return fail({"malformed-number",
                     span(at, end),
                     fmt::format("'{}' cannot go on with '{}'", written(value.where), written(span(at, end))),
                     {},
                     {},
                     "feet and inches are whole feet and less than 12 in, as 6 ft 3.5 in"});
    cursor = after;
    value.lo += inches->lo * find_unit("in")->factor;
    value.hi = value.lo;
    value.where.end = span(at, end).end;
    return true;
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
    const bool one_dimension = std::has_single_bit(wanted.dimensions);
    if (!wanted.attribute && !one_dimension)
        return fail(
            {"wrong-value", span(at), fmt::format("'{}' cannot be unknown", wanted.name), {}, {}, {}});
    if (wanted.name.empty())
        return fail({"missing-unit",
                     span(at),
                     "'unknown' does not say what is not known",
                     {},
                     {},
                     messages::which_is_unknown(owner_.kind)});
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
    if (unit.written.starts_with("+-"))
        return fail({"malformed-number",
                     unit.where,
                     fmt::format("'{}' is no way to give a spread", unit.written),
                     {},
                     {},
                     "a spread is given by its ends, as 9..15, or as about 12"});
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
    if (const double own = wanted.attribute ? info(*wanted.attribute).limits.highest : 0; own > 0) {
        if (value.lo < 0 || value.hi > own)
            return fail(messages::beyond(where, written(where), *wanted.attribute,
                                         to_text(Quantity{0, own, value.dimension})));
    } else if (value.lo < span_of.lowest || value.hi > span_of.highest) {
        return fail(messages::out_of_range(where, written(where), value.dimension, gauge));
    }
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

}  // namespace loomward
