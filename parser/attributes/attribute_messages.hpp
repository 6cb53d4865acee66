// The wording of every message about attributes and values, in one place. Internal to parser/.
#pragma once
#include <cstdint>
#include <string>
#include <string_view>

#include "parser/attributes/attributes.hpp"
#include "parser/language/kinds.hpp"
#include "parser/language/shapes.hpp"
#include "parser/text/diagnostic.hpp"

namespace loomward::messages {

// "fuse F1", "policy", "this wire".
std::string display(const Owner& owner);
// "'carries'", or "the cross-section of wire W4" for a nameless one.
std::string subject(Attr attribute, const Owner& owner);
// "a current", "a current or a percentage" for a set of dimension bits.
std::string dimensions_in_words(std::uint32_t bits);
// "nameless values of a resistor: resistance in ohm; power in W"
std::string nameless_values(Kind kind);
std::string which_is_unknown(Kind kind);  // where `unknown` stands alone

Diagnostic unknown_unit(Span unit, std::string_view written, std::string_view meant, std::uint32_t wanted,
                        std::string_view otherwise);
Diagnostic missing_unit(Span number, std::string_view written, std::string help);
// `what`: "'carries'".
Diagnostic wrong_dimension(Span where, std::string_view what, std::uint32_t wanted, std::string_view written,
                           Dimension is);
Diagnostic no_nameless(Span where, Kind kind, Dimension is);
Diagnostic out_of_range(Span where, std::string_view written, Dimension dimension, bool gauge);
// Of an attribute with limits of its own: `span` is "0 to 9000 m".
Diagnostic beyond(Span where, std::string_view written, Attr attribute, std::string_view span);
// A percentage outside the ends that its attribute has.
Diagnostic outside(Span where, std::string_view written, Attr attribute, Kind kind, double lowest,
                   double highest);
Diagnostic zero(Span where, std::string_view written, Dimension dimension, const Owner& owner);
Diagnostic downward_range(Span where, std::string_view written, std::string_view other_way);
Diagnostic not_a_range(Span where, std::string_view written, Attr attribute);
Diagnostic wrong_value(Span where, std::string_view written, std::string_view wanted, Attr attribute);
Diagnostic missing_value(Span where, Attr attribute, bool some);
Diagnostic missing_word(Span where, std::string_view written, std::string_view word, Attr attribute);
Diagnostic missing_dc_ac(Span where, std::string_view written);
// A breaking current without the voltage it holds for.
Diagnostic missing_voltage(const Value& current, Kind kind);
Diagnostic missing_of(Span where, std::string_view written, Attr attribute, std::string_view of_what);
Diagnostic unknown_word(Span where, Attr attribute, std::string_view written,
                        const std::vector<std::string_view>& words);
Diagnostic unknown_colour(Span where, std::string_view written);
// "amps 10 A" for what stands without a name.
Diagnostic name_of_nameless(Span where, std::string_view written, Attr attribute, Kind kind);
Diagnostic unknown_attribute(Span where, std::string_view written, std::string_view meant, Kind kind);
Diagnostic left_over(Span where, std::string_view written, Attr attribute, const Owner& owner,
                     bool comma_helps);
Diagnostic twice(Span where, Span first, Attr attribute, const Owner& owner);
Diagnostic cannot_be_unknown(Span where, Attr attribute);
Diagnostic malformed_cells(Span where, std::string_view written);
Diagnostic malformed_count(Span where, std::string_view written, Attr attribute);
Diagnostic malformed_number(Span where, std::string_view written, std::string_view help);
Diagnostic malformed_name(Span where, std::string_view written);

// An attribute that decides terminals or wiring; nameless ones never do.
Diagnostic missing_attribute(const Owner& owner, Attr attribute);
Diagnostic says_twice(const Owner& owner, Span second, Span first, const AttributeGroup& one,
                      const AttributeGroup& two);

}  // namespace loomward::messages
