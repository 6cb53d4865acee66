// The wording of messages about numbers and units.
#include <fmt/format.h>

#include "parser/attributes/attribute_messages.hpp"
#include "parser/language/units.hpp"

namespace loomward::messages {

Diagnostic unknown_unit(Span unit, std::string_view written, std::string_view meant, std::uint32_t wanted,
                        std::string_view otherwise) {
    Diagnostic mistake{"unknown-unit", unit, fmt::format("'{}' is not a unit", written), {}, {}, {}};
    if (!meant.empty()) mistake.beside = fmt::format("write {}", meant);
    const UnitInfo* row = find_unit(meant);
    if (row && (wanted == 0 || (wanted & bit(row->dimension)))) wanted = bit(row->dimension);
    for (const DimensionInfo& dimension : dimension_table())
        if (wanted == bit(dimension.dimension))
            mistake.help =
                fmt::format("{} is written in {}", dimension.a_word, units_of(dimension.dimension));
    if (mistake.help.empty()) mistake.help = otherwise;
    return mistake;
}

Diagnostic missing_unit(Span number, std::string_view written, std::string help) {
    return {"missing-unit", number, fmt::format("{} has no unit", written), {}, {}, std::move(help)};
}

Diagnostic wrong_dimension(Span where, std::string_view what, std::uint32_t wanted, std::string_view written,
                           Dimension is) {
    Diagnostic mistake{
        "wrong-dimension",
        where,
        fmt::format("{} is {}, and {} is {}", what, dimensions_in_words(wanted), written, info(is).a_word),
        {},
        {},
        {}};
    for (const DimensionInfo& row : dimension_table())
        if (wanted & bit(row.dimension))
            mistake.help +=
                (mistake.help.empty() ? "it is written in " : " or in ") + units_of(row.dimension);
    return mistake;
}

Diagnostic out_of_range(Span where, std::string_view written, Dimension dimension, bool gauge) {
    return {"out-of-range",
            where,
            fmt::format("{} is no {} a harness can have", written, info(dimension).word),
            {},
            {},
            gauge ? std::string("sizes from 4/0 to 30 AWG are accepted")
                  : fmt::format("values from {} are accepted", info(dimension).span)};
}

Diagnostic beyond(Span where, std::string_view written, Attr attribute, std::string_view span) {
    return {"out-of-range",
            where,
            fmt::format("{} is no {} a harness can have", written, info(attribute).name),
            {},
            {},
            fmt::format("values from {} are accepted", span)};
}

Diagnostic zero(Span where, std::string_view written, Dimension dimension, const Owner& owner) {
    return {"out-of-range",
            where,
            fmt::format("{} is no {} {} can have", written, info(dimension).word, info(owner.kind).a_word),
            {},
            {},
            owner.kind == Kind::wire ? "two places bolted together without a wire are written with (direct)"
                                     : "it must be more than nothing"};
}

Diagnostic downward_range(Span where, std::string_view written, std::string_view other_way) {
    return {"downward-range",
            where,
            fmt::format("the range {} runs downward", written),
            {},
            {},
            fmt::format("the smaller end comes first: {}", other_way)};
}

Diagnostic not_a_range(Span where, std::string_view written, Attr attribute) {
    return {"not-a-range",
            where,
            fmt::format("{} is one value, and '{}' is a range", written, info(attribute).name),
            {},
            {},
            fmt::format("both ends are written: {}", example_of(attribute))};
}

Diagnostic wrong_value(Span where, std::string_view written, std::string_view wanted, Attr attribute) {
    return {"wrong-value",
            where,
            fmt::format("{} is not {}", written, wanted),
            {},
            {},
            fmt::format("for instance {}", example_of(attribute))};
}

Diagnostic outside(Span where, std::string_view written, Attr attribute, Kind kind, double lowest,
                   double highest) {
    return {"out-of-range",
            where,
            fmt::format("'{}' of {} cannot be {}", info(attribute).name, info(kind).a_word, written),
            {},
            {},
            fmt::format("values from {:g} to {:g} % are accepted", lowest, highest)};
}

}  // namespace loomward::messages
