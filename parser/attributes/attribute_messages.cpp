#include "parser/attributes/attribute_messages.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "parser/language/colours.hpp"
#include "parser/language/units.hpp"
#include "parser/text/suggest.hpp"

namespace loomward::messages {
namespace {

template <class Range, class Word>
std::string listed(const Range& things, std::string_view separator, Word word) {
    std::string list;
    for (const auto& thing : things) {
        const std::string text(word(thing));
        if (text.empty()) continue;
        if (!list.empty()) list += separator;
        list += text;
    }
    return list;
}

// "resistance in ohm; power in W"
std::string nameless_list(Kind kind, std::string_view separator) {
    return listed(info(kind).attributes, separator, [](const KindAttribute& row) {
        if (!is_nameless(row.attribute)) return std::string();
        const auto& first = shape_of(row.attribute).forms.front().slots.front();
        if (first.type == SlotType::colour) return word_of_nameless(row.attribute);
        return word_of_nameless(row.attribute) + " in " + std::string(info(first.dimension).unit);
    });
}

// "pulse": the named attributes of a kind that take a value of that dimension first.
std::string named_of(Kind kind, Dimension dimension) {
    return listed(info(kind).attributes, ", ", [&](const KindAttribute& row) -> std::string_view {
        if (is_nameless(row.attribute) || !(shape_of(row.attribute).dimensions & bit(dimension))) return {};
        return info(row.attribute).name;
    });
}

std::string quoted(std::string_view text) {
    return fmt::format("'{}'", text);
}

// "its cells" -> "the cells"
std::string the_group(const AttributeGroup& group) {
    return "the " + std::string(group.word.substr(4));
}

std::string members(const AttributeGroup& group) {
    return listed(group.attributes, ", ", [](Attr name) {
        return is_nameless(name) ? example_of(name) : std::string(info(name).name);
    });
}

}  // namespace

std::string display(const Owner& owner) {
    if (owner.name.empty())
        return (owner.kind == Kind::wire ? "this " : "the ") + std::string(info(owner.kind).word);
    return fmt::format("{} {}", info(owner.kind).word, owner.name);
}

std::string subject(Attr attribute, const Owner& owner) {
    if (!is_nameless(attribute)) return quoted(info(attribute).name);
    return fmt::format("the {} of {}", word_of_nameless(attribute), display(owner));
}

std::string dimensions_in_words(std::uint32_t bits) {
    std::vector<std::string_view> words;
    for (const DimensionInfo& row : dimension_table())
        if (bits & bit(row.dimension)) words.push_back(row.a_word);
    return listed(words, " or ", [](std::string_view word) { return word; });
}

// "say which: unknown V (rated voltage), unknown W (power)"
std::string which_is_unknown(Kind kind) {
    const std::string list = listed(info(kind).attributes, ", ", [](const KindAttribute& row) {
        if (!is_nameless(row.attribute)) return std::string();
        const auto& first = shape_of(row.attribute).forms.front().slots.front();
        if (first.type == SlotType::colour) return std::string();
        return fmt::format("unknown {} ({})", info(first.dimension).unit, word_of_nameless(row.attribute));
    });
    return list.empty() ? nameless_values(kind) : "say which: " + list;
}

std::string nameless_values(Kind kind) {
    const std::string list = nameless_list(kind, "; ");
    if (list.empty()) return fmt::format("every value of {} has a name", info(kind).a_word);
    return fmt::format("nameless values of {}: {}", info(kind).a_word, list);
}

Diagnostic no_nameless(Span where, Kind kind, Dimension is) {
    std::string help = nameless_values(kind);
    const std::string named = named_of(kind, is);
    if (!named.empty()) help += fmt::format(". Named ones in {}: {}", info(is).unit, named);
    return {"wrong-dimension",
            where,
            fmt::format("{} has no nameless {}", info(kind).a_word, info(is).word),
            {},
            {},
            help};
}

Diagnostic missing_value(Span where, Attr attribute, bool some) {
    return {"missing-value",
            where,
            some ? fmt::format("'{}' is not complete", info(attribute).name)
                 : fmt::format("'{}' has no value", info(attribute).name),
            {},
            {},
            fmt::format("for instance {}", example_of(attribute))};
}

Diagnostic missing_word(Span where, std::string_view written, std::string_view word, Attr attribute) {
    return {"missing-word",
            where,
            fmt::format("'{}' is missing before '{}'", word, written),
            {},
            {},
            fmt::format("for instance {}", example_of(attribute))};
}

Diagnostic missing_dc_ac(Span where, std::string_view written) {
    return {"missing-dc-ac",
            where,
            fmt::format("{} says neither dc nor ac", written),
            {},
            {},
            fmt::format("the voltage at which it breaks says dc or ac: {} dc", written)};
}

Diagnostic missing_voltage(const Value& current, Kind kind) {
    const std::string amount = to_text(current.quantity());
    return {"missing-voltage",
            current.where,
            fmt::format("{} does not say at which voltage", amount),
            {},
            {},
            fmt::format("{} has no voltage printed on it: breaks {} at 48 V dc", info(kind).a_word, amount)};
}

Diagnostic missing_of(Span where, std::string_view written, Attr attribute, std::string_view of_what) {
    return {"missing-of", where, fmt::format("{} does not say of what", written),
            {},           {},    fmt::format("write {} {} of {}", info(attribute).name, written, of_what)};
}

Diagnostic unknown_word(Span where, Attr attribute, std::string_view written,
                        const std::vector<std::string_view>& words) {
    Diagnostic mistake{"unknown-word",
                       where,
                       fmt::format("{} cannot be '{}'", quoted(info(attribute).name), written),
                       {},
                       {},
                       {}};
    Suggestion nearest(written);
    for (const std::string_view word : words) nearest.offer(word);
    if (!nearest.best().empty()) mistake.beside = fmt::format("write {}", nearest.best());
    mistake.help = "it is one of " + listed(words, ", ", [](std::string_view word) { return word; });
    return mistake;
}

Diagnostic unknown_colour(Span where, std::string_view written) {
    Diagnostic mistake{"unknown-word", where, fmt::format("'{}' is not a colour", written), {}, {}, {}};
    const std::string_view meant = colour_meant_by(written);
    if (!meant.empty()) mistake.beside = fmt::format("write {}", meant);
    mistake.help = "colours are ";
    for (auto colour = Colour::black; colour <= Colour::silver;
         colour = static_cast<Colour>(static_cast<int>(colour) + 1))
        mistake.help += (colour == Colour::black ? "" : ", ") + std::string(colour_word(colour));
    mistake.help += ", or two of them joined by a hyphen";
    return mistake;
}

Diagnostic name_of_nameless(Span where, std::string_view written, Attr attribute, Kind kind) {
    const auto& first = shape_of(attribute).forms.front().slots.front();
    return {
        "unknown-attribute",
        where,
        fmt::format("'{}' is not an attribute of {}", written, info(kind).a_word),
        {},
        {},
        fmt::format("the {} of {} stands without a name: {}", word_of_nameless(attribute), info(kind).a_word,
                    first.type == SlotType::colour ? std::string("red") : example_of(attribute))};
}

Diagnostic unknown_attribute(Span where, std::string_view written, std::string_view meant, Kind kind) {
    Diagnostic mistake{"unknown-attribute",
                       where,
                       fmt::format("'{}' is not an attribute of {}", written, info(kind).a_word),
                       {},
                       {},
                       {}};
    if (!meant.empty()) mistake.beside = fmt::format("write {}", meant);
    mistake.help = "they are " + listed(info(kind).attributes, ", ", [](const KindAttribute& row) {
                       return is_nameless(row.attribute) ? std::string_view() : info(row.attribute).name;
                   });
    return mistake;
}

Diagnostic left_over(Span where, std::string_view written, Attr attribute, const Owner& owner,
                     bool comma_helps) {
    const bool in_wire = owner.kind == Kind::wire;
    return {"left-over",
            where,
            fmt::format("'{}' is more than {} takes", written, subject(attribute, owner)),
            {},
            {},
            comma_helps
                ? fmt::format("a comma {}is missing before '{}'", in_wire ? "" : "or a line break ", written)
                : fmt::format("it reads {}", example_of(attribute))};
}

Diagnostic twice(Span where, Span first, Attr attribute, const Owner& owner) {
    const bool nameless = is_nameless(attribute);
    return {"twice",
            where,
            nameless ? fmt::format("{} has its {} twice", display(owner), word_of_nameless(attribute))
                     : fmt::format("{} has '{}' twice", display(owner), info(attribute).name),
            {},
            {{first, "the first is here"}},
            nameless ? "nameless values: " + nameless_list(owner.kind, ", ") : "it is written once"};
}

Diagnostic cannot_be_unknown(Span where, Attr attribute) {
    return {"not-unknown",
            where,
            fmt::format("'{}' cannot be unknown", info(attribute).name),
            {},
            {},
            fmt::format("the wiring depends on it; for instance {}", example_of(attribute))};
}

Diagnostic malformed_cells(Span where, std::string_view written) {
    std::string digits(written.substr(0, std::min(written.find_first_not_of("0123456789"), written.size())));
    if (digits.empty()) digits = "14";
    return {"malformed-cells",
            where,
            fmt::format("'{}' does not say how the cells are joined", written),
            {},
            {},
            fmt::format("series and parallel count are written together: {}s8p; one string is {}s1p", digits,
                        digits)};
}

Diagnostic malformed_count(Span where, std::string_view written, Attr attribute) {
    return {"malformed-count",
            where,
            fmt::format("'{}' is not a whole number from 1 to 100000", written),
            {},
            {},
            fmt::format("for instance {}", example_of(attribute))};
}

Diagnostic malformed_number(Span where, std::string_view written, std::string_view help) {
    return {"malformed-number", where, fmt::format("'{}' is not a number", written), {}, {},
            std::string(help)};
}

Diagnostic malformed_name(Span where, std::string_view written) {
    return {"malformed-name",
            where,
            fmt::format("{} is not a name", written),
            {},
            {},
            "names are letters, digits, '_' and, inside, '-'"};
}

Diagnostic missing_attribute(const Owner& owner, Attr attribute) {
    return {"missing-attribute",
            owner.where,
            fmt::format("'{}' of {} is missing", info(attribute).name, display(owner)),
            {},
            {},
            fmt::format("for instance {}", example_of(attribute, owner.kind))};
}

Diagnostic says_twice(const Owner& owner, Span second, Span first, const AttributeGroup& one,
                      const AttributeGroup& two) {
    const std::string_view verb = one.word.back() == 's' ? "are" : "is";
    return {"says-twice",
            second,
            fmt::format("{} is described by {} and by {}", display(owner), one.word, two.word),
            {},
            {{first, fmt::format("{} {} given here", the_group(one), verb)}},
            fmt::format("keep {} or {}", members(one), members(two))};
}

}  // namespace loomward::messages
