// The shapes of parser/language/kinds.hpp, taken apart once, in a form that values can be matched against.
#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "parser/language/kinds.hpp"

namespace loomward {

enum class SlotType : std::uint8_t {
    literal,
    quantity,
    range,
    count,
    text,
    name,
    names,
    colour,
    series,
    words
};

// One item of a shape. A literal gives no value, save where it is a whole alternative ("none").
struct Slot {
    SlotType type = SlotType::literal;
    Dimension dimension = Dimension::none;
    std::uint8_t optional = 0;  // 0: must be there; else the number of the [ ] it stands in
    std::string_view literal;
    std::vector<std::string_view> words;  // SlotType::words: the set
};

struct Form {
    std::vector<Slot> slots;
};

struct Shape {
    std::vector<Form> forms;       // alternatives; the first values of no two are alike
    std::uint32_t places = 0;      // values of the longest alternative; 0 where <names> makes it open
    std::uint32_t dimensions = 0;  // bits of the dimensions a first value may have
    bool can_be_unknown = false;
};

constexpr std::uint32_t bit(Dimension dimension) {
    return 1U << static_cast<unsigned>(dimension);
}

const Shape& shape_of(Attr attribute);
// The alternative that `unknown` stands in: "breaks unknown" is an unknown current, not an unknown "none".
const Form& form_of_unknown(const Shape& shape);
// The group of `one_of` that a part is described by where none is begun: the first that may be unknown as a
// whole. nullptr where the kind has none.
const AttributeGroup* group_left_out(Kind kind);

// What a kind takes, ready for looking up.
struct KindLookup {
    struct Named {
        std::string_view name;
        Attr attribute{};
    };
    std::vector<Named> named;                      // table order
    std::vector<Attr> required;                    // table order
    std::array<std::optional<Attr>, 24> nameless;  // by dimension
    std::uint32_t nameless_dimensions = 0;
    bool colour = false;  // takes a nameless colour

    std::optional<Attr> find(std::string_view name) const;
};
const KindLookup& lookup(Kind kind);

inline bool is_nameless(Attr attribute) {
    return info(attribute).name.front() == '(';
}
// "rated current", "cross-section": what a nameless attribute is called.
std::string word_of_nameless(Attr attribute);
// The kind always has the voltage at which it breaks printed on it.
bool has_printed_voltage(Kind kind);
// "carries 100 A", "100 A": the attribute as it might be written, in general or for that kind.
std::string example_of(Attr attribute);
std::string example_of(Attr attribute, Kind kind);

}  // namespace loomward
