#include "parser/language/shapes.hpp"

#include <algorithm>

#include "parser/language/insulations.hpp"
#include "parser/language/units.hpp"

namespace loomward {
namespace {

std::vector<std::string_view> split(std::string_view text, std::string_view by) {
    std::vector<std::string_view> parts;
    for (std::size_t at = 0; at <= text.size();) {
        const std::size_t end = std::min(text.find(by, at), text.size());
        if (end > at) parts.push_back(text.substr(at, end - at));
        at = end + by.size();
    }
    return parts;
}

// The inside of < >.
Slot slot_from(std::string_view word) {
    Slot slot;
    const auto is_dimension = [&](const DimensionInfo& row) {
        return row.dimension != Dimension::none &&
               (word == row.shape || word == std::string(row.shape) + "-range");
    };
    const auto rows = dimension_table();
    if (const auto row = std::find_if(rows.begin(), rows.end(), is_dimension); row != rows.end()) {
        slot.type = word == row->shape ? SlotType::quantity : SlotType::range;
        slot.dimension = row->dimension;
    } else if (word == "family") {
        slot.type = SlotType::words;
        for (const InsulationFamily& family : insulation_families()) slot.words.push_back(family.word);
    } else if (word == "count") {
        slot.type = SlotType::count;
    } else if (word == "text") {
        slot.type = SlotType::text;
    } else if (word == "name") {
        slot.type = SlotType::name;
    } else if (word == "names") {
        slot.type = SlotType::names;
    } else if (word == "colour") {
        slot.type = SlotType::colour;
    } else if (word == "series") {
        slot.type = SlotType::series;
    } else {
        slot.type = SlotType::words;
        slot.words = split(word, "|");
    }
    return slot;
}

Form form_from(std::string_view text) {
    Form form;
    std::uint8_t group = 0;
    std::uint8_t groups = 0;
    for (std::string_view word : split(text, " ")) {
        if (word.front() == '[') {
            group = ++groups;
            word.remove_prefix(1);
        }
        const bool closes = word.back() == ']';
        if (closes) word.remove_suffix(1);
        Slot slot;
        if (word.front() == '<') {
            slot = slot_from(word.substr(1, word.size() - 2));
        } else {
            slot.literal = word;
        }
        slot.optional = group;
        form.slots.push_back(std::move(slot));
        if (closes) group = 0;
    }
    return form;
}

Shape shape_from(Attr attribute) {
    Shape shape;
    bool open = false;
    for (const std::string_view text : split(info(attribute).shape, " or ")) {
        Form form = form_from(text);
        std::uint32_t places = 0;
        for (const Slot& slot : form.slots) {
            if (slot.type != SlotType::literal) places += slot.type == SlotType::series ? 2 : 1;
            open = open || slot.type == SlotType::names;
        }
        const Slot& first = form.slots.front();
        if (first.type == SlotType::quantity || first.type == SlotType::range)
            shape.dimensions |= bit(first.dimension);
        if (first.type == SlotType::quantity || first.type == SlotType::range ||
            first.type == SlotType::words)
            shape.can_be_unknown = true;
        shape.places = std::max({shape.places, places, 1U});
        shape.forms.push_back(std::move(form));
    }
    if (open) shape.places = 0;
    if (info(attribute).limits.never_unknown) shape.can_be_unknown = false;
    return shape;
}

std::string example_of_slot(const Slot& slot) {
    switch (slot.type) {
        case SlotType::literal:
            return std::string(slot.literal);
        case SlotType::quantity:
            return std::string(info(slot.dimension).example);
        case SlotType::range:
            return std::string(info(slot.dimension).range);
        case SlotType::count:
            return "2";
        case SlotType::text:
            return "\"...\"";
        case SlotType::name:
            return "X1";
        case SlotType::names:
            return "1 2";
        case SlotType::colour:
            return "red";
        case SlotType::series:
            return "14s8p";
        case SlotType::words:
            return std::string(slot.words.front());
    }
    return {};
}

// The last alternative, without what may be left out.
std::string example_values(Attr attribute) {
    if (!info(attribute).example.empty()) return std::string(info(attribute).example);
    std::string text;
    for (const Slot& slot : shape_of(attribute).forms.back().slots) {
        if (slot.optional) continue;
        if (!text.empty()) text += ' ';
        text += example_of_slot(slot);
    }
    return text;
}

KindLookup lookup_from(Kind kind) {
    KindLookup lookup;
    for (const KindAttribute& row : info(kind).attributes) {
        if (row.required) lookup.required.push_back(row.attribute);
        if (!is_nameless(row.attribute)) {
            lookup.named.push_back({info(row.attribute).name, row.attribute});
        } else if (row.attribute == "(colour)"_attr) {
            lookup.colour = true;
        } else {
            const Dimension dimension = shape_of(row.attribute).forms.front().slots.front().dimension;
            lookup.nameless[static_cast<std::size_t>(dimension)] = row.attribute;
            lookup.nameless_dimensions |= bit(dimension);
        }
    }
    return lookup;
}

}  // namespace

const Shape& shape_of(Attr attribute) {
    static const std::vector<Shape> shapes = [] {
        std::vector<Shape> all;
        for (std::size_t i = 0; i < attribute_table.size(); ++i)
            all.push_back(shape_from(static_cast<Attr>(i)));
        return all;
    }();
    return shapes[static_cast<std::size_t>(attribute)];
}

const Form& form_of_unknown(const Shape& shape) {
    for (const Form& form : shape.forms)
        if (form.slots.front().type != SlotType::literal) return form;
    return shape.forms.front();
}

const AttributeGroup* group_left_out(Kind kind) {
    for (const AttributeGroup& group : info(kind).one_of)
        if (std::all_of(group.attributes.begin(), group.attributes.end(),
                        [](Attr name) { return shape_of(name).can_be_unknown; }))
            return &group;
    return info(kind).one_of.empty() ? nullptr : &info(kind).one_of.front();
}

const KindLookup& lookup(Kind kind) {
    static const std::vector<KindLookup> lookups = [] {
        std::vector<KindLookup> all;
        for (std::size_t i = 0; i < kind_count; ++i) all.push_back(lookup_from(static_cast<Kind>(i)));
        return all;
    }();
    return lookups[static_cast<std::size_t>(kind)];
}

std::optional<Attr> KindLookup::find(std::string_view name) const {
    for (const Named& row : named)
        if (row.name == name) return row.attribute;
    return std::nullopt;
}

std::string word_of_nameless(Attr attribute) {
    if (attribute == "(operational-voltage)"_attr) return "rated voltage";
    if (attribute == "(area)"_attr) return "cross-section";
    const std::string_view name = info(attribute).name;
    std::string word(name.substr(1, name.size() - 2));
    std::replace(word.begin(), word.end(), '-', ' ');
    return word;
}

std::string example_of(Attr attribute) {
    if (is_nameless(attribute)) return example_values(attribute);
    return std::string(info(attribute).name) + " " + example_values(attribute);
}

bool has_printed_voltage(Kind kind) {
    const KindAttribute* row = find_attribute(kind, "(operational-voltage)"_attr);
    return row && row->required;
}

std::string example_of(Attr attribute, Kind kind) {
    if (attribute == "contacts"_attr && kind == Kind::relay) return "contacts change-over";
    if (attribute == "breaks"_attr && !has_printed_voltage(kind))
        return example_of(attribute) + " at 48 V dc";
    if (attribute == "rest"_attr && kind == Kind::load) return "rest off";
    return example_of(attribute);
}

}  // namespace loomward
