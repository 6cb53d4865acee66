// Values that need no name of their own, and words that are no attribute.
#include <fmt/format.h>

#include "parser/attributes/attribute_messages.hpp"
#include "parser/attributes/element_reader.hpp"
#include "parser/language/colours.hpp"
#include "parser/language/workshop_words.hpp"
#include "parser/text/suggest.hpp"

namespace loomward {

// Which nameless value it is, its dimension tells.
bool ElementReader::nameless(ValueCursor& cursor) {
    const std::uint32_t begin = cursor.at;
    Dimension dimension = peek_dimension(cursor);
    if (dimension == Dimension::none) {  // perhaps a unit that is spelt another way
        ValueCursor unit = cursor;
        advance(unit);
        if (!unit.done()) {
            const UnitInfo* meant = find_unit(unit_meant_by(token(unit.at)));
            dimension = meant ? meant->dimension : Dimension::none;
        }
    }
    const auto attribute = lookup_.nameless[static_cast<std::size_t>(dimension)];
    if (attribute) return values_of(cursor, *attribute, span(begin));
    list_.flawed = true;
    Value value;
    const Wanted wanted{lookup_.nameless_dimensions, {}, "(length)"_attr, true, false};
    // It fails and says why; should it find a value after all, that value has no place here.
    if (quantity(cursor, wanted, value))
        fail(messages::no_nameless(value.where, owner_.kind, value.dimension));
    return false;
}

bool ElementReader::nameless_colour(ValueCursor& cursor) {
    const bool is_word = node(cursor.at).kind == NodeKind::word;
    if (!lookup_.colour || !is_word || !read_colour(token(cursor.at))) return not_an_attribute(cursor);
    return values_of(cursor, "(colour)"_attr, span(cursor.at));
}

// "amps" before what stands without a name.
std::optional<Attr> ElementReader::nameless_meant_by(std::string_view word) const {
    const Dimension dimension = workshop_dimension(word);
    const bool colour = word == "color" || word == "colour";
    if (dimension == Dimension::none && !colour) return std::nullopt;
    for (const KindAttribute& row : info(owner_.kind).attributes) {
        if (!is_nameless(row.attribute)) continue;
        const Slot& first = shape_of(row.attribute).forms.front().slots.front();
        if (first.type == SlotType::colour ? colour : first.dimension == dimension) return row.attribute;
    }
    return std::nullopt;
}

bool ElementReader::not_an_attribute(const ValueCursor& cursor) {
    list_.flawed = true;
    const Span where = span(cursor.at);
    const std::string_view word = token(cursor.at);
    if (node(cursor.at).kind == NodeKind::text)
        return fail({"stray-text",
                     where,
                     "a text alone is no attribute",
                     {},
                     {},
                     "a remark is written note \"...\""});
    if (node(cursor.at).kind == NodeKind::wire)
        return fail({"stray-wire",
                     {tree_.file, where.begin, where.begin + 1},
                     "a wire is written inside a route",
                     {},
                     {},
                     "route F1.out (W1 16 mm2, 0.2 m, red) K1.in"});
    if (find_unit(word)) {
        ValueCursor next = cursor;
        advance(next);
        const bool number = !next.done() && node(next.at).kind == NodeKind::number;
        return fail({"unit-first",
                     where,
                     fmt::format("'{}' has no number before it", word),
                     {},
                     {},
                     fmt::format("a unit follows its number: {} {}", number ? token(next.at) : "12", word)});
    }
    if (const std::optional<Attr> nameless = nameless_meant_by(word)) {
        list_.flawed = false;
        add(*nameless, where, static_cast<std::uint32_t>(list_.values.size()));
        return fail(messages::name_of_nameless(where, word, *nameless, owner_.kind));
    }
    Suggestion nearest(word);
    for (const auto& [name, attribute] : lookup_.named) nearest.offer(name);
    std::string_view meant = workshop_attribute(word);
    if (!lookup_.find(meant)) meant = nearest.best();
    if (meant.empty() && lookup_.colour) {
        meant = colour_meant_by(word);
        if (!meant.empty()) {
            list_.flawed = false;  // the colour is not required
            return fail(messages::unknown_colour(where, word));
        }
    }
    if (const auto attribute = lookup_.find(meant)) {
        list_.flawed = false;
        add(*attribute, where, static_cast<std::uint32_t>(list_.values.size()));
    }
    return fail(messages::unknown_attribute(where, word, meant, owner_.kind));
}

}  // namespace loomward
