// The tables of the language: kinds, attributes, units. One row a thing; messages, documentation and
// the reader are all made from these rows. A new attribute is one row in `attribute_table` and its name
// in the list of each kind that takes it (kind_rows*.cpp).
#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "parser/language/attribute_table.hpp"
#include "parser/language/quantity.hpp"

namespace loomward {

enum class Kind : std::uint8_t {
    pack,
    bms,
    fuse,
    breaker,
    protector,
    fuse_block,
    contactor,
    relay,
    switch_,
    selector,
    connector,
    terminal_block,
    splice,
    stud,
    busbar,
    frame,
    port,
    shunt,
    resistor,
    capacitor,
    diode,
    controller,
    motor,
    converter,
    charger,
    panel,
    inverter,
    load,
    device,  // parts
    wire,
    cable,
    assembly,
    bundle,
    location,
    stretch,
    harness,
    policy  // what else takes attributes
};
inline constexpr std::size_t kind_count = static_cast<std::size_t>(Kind::policy) + 1;

// How one kind uses an attribute.
struct KindAttribute {
    Attr attribute{};
    bool required = false;  // left out it is unknown, or a mistake where it cannot be
    // The value taken where it is not written, as it would be written ("1 mohm", "closed"); empty: none,
    // or one that is worked out by the checker.
    std::string_view default_text;
    // "IEC 60947-4-1 (memory)", "no source, safe side"; without a default_text: how it is worked out, in
    // words.
    std::string_view default_source;
};

// Attributes that together describe a part in one way: a pack by "its cells".
struct AttributeGroup {
    std::string_view word;  // "its cells", as in "pack B1 is described by its cells and by its terminals"
    std::vector<Attr> attributes;
};

struct KindInfo {
    Kind kind{};
    std::string_view word;       // as the statement begins: "fuse-block"
    std::string_view a_word;     // with its article: "a fuse block"
    std::string_view meaning;    // half a line for docs/language.md
    std::string_view terminals;  // for docs: "in out"
    bool is_part = true;         // may be placed, and named in routes and mode lines
    // No attribute twice. Nameless ones first of their dimension; the order is that of the documentation.
    std::vector<KindAttribute> attributes;
    // Where not empty: no two of these groups may be written; the attributes of the one begun, or else of
    // group_left_out(), are as if they were `required` above.
    std::vector<AttributeGroup> one_of;
};

const KindInfo& info(Kind kind);
std::span<const KindInfo> kind_table();
// The row of that attribute for that kind, or nullptr if the kind does not take it.
const KindAttribute* find_attribute(Kind kind, Attr attribute);
std::optional<Kind> find_kind(std::string_view word);
// False for a word of the attribute's set that this kind does not take: a switch does not rest `off`, a load
// not `open`.
bool takes_word(Kind kind, Attr attribute, std::string_view word);

// A word that begins a statement (kinds of part and "loom use harness part route cable bundle ..."); no
// attribute has such a name, which is what lets a line that begins with one close an open block.
bool is_statement_word(std::string_view word);
// All of them, sorted; `variant`, `change` and `remove` are reserved for a later edition.
std::span<const std::string_view> statement_words();

}  // namespace loomward
