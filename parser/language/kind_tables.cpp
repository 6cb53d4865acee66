#include "parser/language/kind_tables.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "parser/language/colours.hpp"
#include "parser/language/insulations.hpp"
#include "parser/language/kinds.hpp"
#include "parser/language/shapes.hpp"
#include "parser/language/units.hpp"

namespace loomward {
namespace {

// Told once for all kinds instead of in every table.
constexpr auto common = {"note"_attr,  "doubt"_attr, "order"_attr, "at"_attr,
                         "marks"_attr, "spare"_attr, "torque"_attr};

bool is_common(Attr attribute) {
    return std::find(common.begin(), common.end(), attribute) != common.end();
}

std::string code(std::string_view text) {
    return fmt::format("`{}`", text);
}

std::string slot_text(Kind kind, Attr attribute, const Slot& slot) {
    switch (slot.type) {
        case SlotType::literal:
            return code(slot.literal);
        case SlotType::quantity:
            return fmt::format("*{}*", info(slot.dimension).word);
        case SlotType::range:
            return fmt::format("*{} range*", info(slot.dimension).word);
        case SlotType::count:
            return "*count*";
        case SlotType::text:
            return "*text*";
        case SlotType::name:
            return "*name*";
        case SlotType::names:
            return "*names*";
        case SlotType::colour:
            return "*colour*";
        case SlotType::series:
            return "*series*";
        case SlotType::words:
            break;
    }
    if (slot.words.size() == insulation_families().size() &&
        slot.words.front() == insulation_families().front().word)
        return "*family*";
    std::string set;
    for (const std::string_view word : slot.words)
        if (takes_word(kind, attribute, word)) set += (set.empty() ? "" : "/") + code(word);
    return set;
}

std::string shape_text(Kind kind, Attr attribute) {
    std::string text;
    for (const Form& form : shape_of(attribute).forms) {
        if (!text.empty()) text += " or ";
        std::uint8_t group = 0;
        std::string_view blank;
        for (const Slot& slot : form.slots) {
            if (group && slot.optional != group) text += ']';
            text += blank;
            if (slot.optional && slot.optional != group) text += '[';
            group = slot.optional;
            text += slot_text(kind, attribute, slot);
            blank = " ";
        }
        if (group) text += ']';
    }
    return text;
}

// What holds where it has to be known and is not written.
std::string_view not_written(Attr attribute) {
    return shape_of(attribute).can_be_unknown ? "not known" : "a mistake";
}

std::string left_out(const KindInfo& kind, const KindAttribute& row) {
    if (row.required) return std::string(not_written(row.attribute));
    for (const AttributeGroup& group : kind.one_of)
        if (std::find(group.attributes.begin(), group.attributes.end(), row.attribute) !=
            group.attributes.end())
            return group.attributes.size() == 1
                       ? fmt::format("by {}", group.word)
                       : fmt::format("by {}: {}", group.word, not_written(row.attribute));
    if (row.default_text.empty()) return std::string(row.default_source);
    return fmt::format("{} ({})", code(row.default_text), row.default_source);
}

// "`voltage` `resistance` `capacity`", "the power".
std::string names_of(const AttributeGroup& group) {
    std::string names;
    for (const Attr name : group.attributes)
        names += (names.empty() ? "" : " ") +
                 (is_nameless(name) ? "the " + word_of_nameless(name) : code(info(name).name));
    return names + (group.attributes.size() == 1 ? " is" : " are");
}

std::string row_text(const KindInfo& kind, const KindAttribute& row) {
    const std::string name = is_nameless(row.attribute) ? "" : code(info(row.attribute).name);
    return fmt::format(
        "| {}{} | {} | {} | {} |\n", name, info(row.attribute).repeatable ? " *" : "",
        shape_text(kind.kind, row.attribute), left_out(kind, row),
        is_nameless(row.attribute) ? word_of_nameless(row.attribute) : info(row.attribute).meaning);
}

std::string kind_text(const KindInfo& kind) {
    std::string text = fmt::format("#### `{}`\n\n", kind.word);
    text += static_cast<char>(kind.meaning.front() - 'a' + 'A');
    text += fmt::format("{}.", kind.meaning.substr(1));
    if (!kind.terminals.empty()) text += fmt::format(" Terminals: {}.", kind.terminals);
    std::string groups;
    for (const AttributeGroup& group : kind.one_of)
        groups += (groups.empty() ? "" : " or by ") + std::string(group.word);
    if (!groups.empty())
        text += fmt::format(" Described by {}: one of them only; by none: {} not known.", groups,
                            names_of(*group_left_out(kind.kind)));
    std::string also;
    std::string rows;
    for (const KindAttribute& row : kind.attributes) {
        if (is_common(row.attribute)) {
            also += (also.empty() ? "" : " ") + code(info(row.attribute).name);
        } else {
            rows += row_text(kind, row);
        }
    }
    if (!also.empty()) text += fmt::format(" Also: {}.", also);
    text += "\n\n";
    if (!rows.empty())
        text += "| attribute | value | where it is left out | |\n| --- | --- | --- | --- |\n" + rows + "\n";
    return text;
}

std::string common_text() {
    std::string text =
        "### Attributes of many kinds\n\n"
        "A value without a name stands in a row whose first column is empty. A row with `*` may be repeated. "
        "The third\n"
        "column says what holds where it is left out. *Not known*: as if `unknown` stood there, which is "
        "told "
        "of (finding\n"
        "`missing-data`) wherever it matters. *A mistake*: it decides terminals or wiring and has to be "
        "written. A value in\n"
        "code is the default, with its source, and goes on the list of assumptions. An empty field: there is "
        "no default, and a\n"
        "rule that needs it says so. *Ranges* are written with both ends; wherever else a quantity stands, a "
        "range or `about`\n"
        "may stand too.\n\n"
        "| attribute | value | |\n| --- | --- | --- |\n";
    for (const Attr attribute : common)
        text += fmt::format("| {}{} | {} | {} |\n", code(info(attribute).name),
                            info(attribute).repeatable ? " *" : "", shape_text(Kind::pack, attribute),
                            info(attribute).meaning);
    return text + "\n";
}

std::string units_text() {
    std::string text = "### Units\n\n| dimension | units | accepted |\n| --- | --- | --- |\n";
    for (const DimensionInfo& row : dimension_table()) {
        if (row.dimension == Dimension::none) continue;
        std::string units;
        for (const UnitInfo& unit : unit_table())
            if (unit.dimension == row.dimension) units += (units.empty() ? "" : " ") + code(unit.name);
        text += fmt::format("| {} | {} | {} |\n", row.word, units, row.span);
    }
    return text +
           "\nWire gauges are `4/0` to `1/0` and `1` to `30 AWG`; their cross-section is that of ASTM B258. "
           "A range of "
           "gauges\nrises in thickness: `16..10 AWG`.\n\n";
}

std::string words_text() {
    std::string text = "### Colours and insulation\n\nColours, with their letters after IEC 60757: ";
    for (auto colour = Colour::black; colour <= Colour::silver;
         colour = static_cast<Colour>(static_cast<int>(colour) + 1))
        text += fmt::format("{}`{}` {}", colour == Colour::black ? "" : ", ", colour_word(colour),
                            colour_letters(colour));
    text += ".\n\n| insulation | largest conductor temperature | source |\n| --- | --- | --- |\n";
    for (const InsulationFamily& family : insulation_families())
        text += fmt::format("| `{}` | {:g} degC | {} |\n", family.word, family.limit_degC, family.source);
    return text;
}

}  // namespace

std::string kind_tables_markdown() {
    std::string text = common_text() + "### Parts\n\n";
    for (const KindInfo& kind : kind_table()) {
        if (kind.kind == Kind::wire) text += "### What else takes attributes\n\n";
        text += kind_text(kind);
    }
    return text + units_text() + words_text();
}

}  // namespace loomward
