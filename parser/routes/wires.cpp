#include "parser/routes/wires.hpp"

#include <algorithm>
#include <array>

#include "parser/language/colours.hpp"

namespace loomward {
namespace {

// Kept in fields of their own.
constexpr auto fields =
    std::to_array<Attr>({"(area)"_attr, "(length)"_attr, "(colour)"_attr, "insulation"_attr, "material"_attr,
                         "parallel"_attr, "in"_attr, "along"_attr, "cores"_attr, "core"_attr});
// The same but the length: one in feet or inches is kept as it was typed besides (parser/typed_lengths).
constexpr auto fields_but_length =
    std::to_array<Attr>({"(area)"_attr, "(colour)"_attr, "insulation"_attr, "material"_attr, "parallel"_attr,
                         "in"_attr, "along"_attr, "cores"_attr, "core"_attr});

bool in_feet(const Value& length) {
    return length.text == "ft" || length.text == "in";
}

Slice store_others(Reading& reading, const AttributeList& attributes) {
    const bool feet = in_feet(attributes.value("(length)"_attr));
    return store(attributes, reading.harness,
                 feet ? std::span<const Attr>(fields_but_length) : std::span<const Attr>(fields));
}

void take_size(const Reading& reading, Wire& wire, const Value& value) {
    wire.area = value.quantity();
    const bool known = value.known != Knowledge::unknown;
    wire.awg = known && value.text == "AWG";
    // Left out, it stands nowhere in the text.
    wire.size_text = known ? reading.sources->text(value.where) : "unknown mm2";
}

void take_insulation(Wire& wire, std::span<const Value> values) {
    if (values.empty() || !values[0].present()) return;
    if (values[0].known == Knowledge::unknown) {
        wire.insulation_known = Knowledge::unknown;
        wire.insulation = {};
        wire.insulation_limit_degC =
            Wire{}.insulation_limit_degC;  // whatever the harness says of other wires
        return;
    }
    wire.insulation = values[0].text;
    wire.insulation_known = Knowledge::stated;
    if (values.size() > 1 && values[1].present() && values[1].known != Knowledge::unknown) {
        wire.insulation_limit_degC = values[1].lo;
        wire.insulation_known = values[1].known;
        return;
    }
    const InsulationFamily* family = find_insulation(wire.insulation);
    wire.insulation_known = Knowledge::assumed;
    if (family) wire.insulation_limit_degC = family->limit_degC;
}

}  // namespace

void take_colours(std::string_view text, Colour& first, Colour& second) {
    const ColourPair pair = read_colour(text).value_or(ColourPair{});
    first = pair.first;
    second = pair.second;
}

void find_bundles(Reading& reading, const Scope& scope, std::span<const Value> names,
                  BundleId (&bundles)[2]) {
    std::size_t count = 0;
    bundles[0] = bundles[1] = {};
    for (const Value& name : names) {
        if (!name.present() || name.text.empty()) continue;
        if (count == 2) return;  // a third one has been said
        const Entity* entity = scope.find(name.text);
        if (!entity) {
            say_unknown(reading, scope, name.text, name.where, "bundle", {EntityKind::bundle});
        } else if (entity->kind != EntityKind::bundle) {
            reading
                .say("wrong-kind", name.where,
                     "'" + std::string(name.text) + "' is a " + std::string(word_of(scope, *entity)) +
                         ", and a wire lies in a bundle")
                .notes.push_back({entity->where, std::string(name.text) + " is described here"});
        } else {
            bundles[count++] = BundleId(std::size_t{entity->index});
        }
    }
}

namespace {

Slice find_stretches(Reading& reading, const Scope& scope, std::span<const Value> names) {
    std::vector<StretchId>& named = reading.harness.stretches_named;
    Slice slice{static_cast<std::uint32_t>(named.size()), 0};
    for (const Value& name : names) {
        if (!name.present() || name.text.empty()) continue;
        const Entity* entity = scope.find(name.text);
        if (!entity) {
            say_unknown(reading, scope, name.text, name.where, "stretch", {EntityKind::stretch});
        } else if (entity->kind != EntityKind::stretch) {
            reading
                .say("wrong-kind", name.where,
                     "'" + std::string(name.text) + "' is a " + std::string(word_of(scope, *entity)) +
                         ", and a wire runs along a stretch")
                .notes.push_back({entity->where, std::string(name.text) + " is described here"});
        } else {
            named.emplace_back(std::size_t{entity->index});
            ++slice.count;
        }
    }
    return slice;
}

// Fields from attributes; the number of attributes that have no field, or have to be kept besides.
std::size_t take_fields(Reading& reading, const Scope& scope, Wire& wire, const AttributeList& attributes) {
    std::size_t others = 0;
    for (const Attribute& attribute : attributes.attributes) {
        const auto values = attributes.values_of(attribute);
        const Value first = values.empty() ? Value{} : values[0];
        switch (attribute.name) {
            case "(area)"_attr:
                take_size(reading, wire, first);
                break;
            case "(length)"_attr:
                wire.length = first.quantity();
                if (in_feet(first)) ++others;
                break;
            case "(colour)"_attr:
                take_colours(first.text, wire.colour, wire.second_colour);
                break;
            case "insulation"_attr:
                take_insulation(wire, values);
                break;
            case "material"_attr:
                wire.aluminium = first.text == "aluminium";
                wire.material_known = first.known;
                break;
            case "parallel"_attr:
                if (first.lo >= 1 && first.lo <= 100) {
                    wire.parallel = static_cast<std::uint16_t>(first.lo);
                } else if (first.present() && first.known != Knowledge::unknown) {
                    reading.say("out-of-range", first.where, "a wire has from 1 to 100 equal conductors");
                }
                break;
            case "in"_attr:
                find_bundles(reading, scope, values, wire.bundles);
                break;
            case "along"_attr:
                wire.along = find_stretches(reading, scope, values);
                break;
            case "cores"_attr:
            case "core"_attr:
                break;
            default:
                ++others;
        }
    }
    return others;
}

}  // namespace

void describe_wire(Reading& reading, const Scope& scope, Wire& wire, const AttributeList& attributes) {
    wire.insulation = reading.default_insulation;
    wire.insulation_limit_degC = reading.default_insulation_degC;
    wire.insulation_known = reading.default_insulation_known;
    if (take_fields(reading, scope, wire, attributes) > 0)
        wire.attributes = store_others(reading, attributes);
}

void change_wire_fields(Reading& reading, const Scope& scope, Wire& wire, const AttributeList& attributes) {
    const bool was_in_feet = reading.harness.value(wire.attributes, "(length)"_attr).present();
    const bool new_length = attributes.value("(length)"_attr).present();
    if (take_fields(reading, scope, wire, attributes) == 0 && !(was_in_feet && new_length)) return;
    AttributeList list;
    for (Attribute attribute : reading.harness.attributes_of(wire.attributes)) {
        const auto values = reading.harness.values_of(attribute);
        attribute.first = static_cast<std::uint32_t>(list.values.size());
        list.values.insert(list.values.end(), values.begin(), values.end());
        list.attributes.push_back(attribute);
    }
    merge(Kind::wire, list, attributes);
    wire.attributes = store_others(reading, list);
}

}  // namespace loomward
