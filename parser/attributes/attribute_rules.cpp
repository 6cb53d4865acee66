// Rules that hold for single attributes, beyond their shape.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "parser/attributes/attribute_messages.hpp"
#include "parser/attributes/element_reader.hpp"

namespace loomward {
using namespace literals;

bool ElementReader::further_rules(Attr attribute, std::uint32_t first_value) {
    const auto values = std::span(list_.values).subspan(first_value);
    if (const AttributeLimits& limits = info(attribute).limits;
        limits.highest_percent > 0 && values[0].dimension == Dimension::percentage &&
        values[0].known != Knowledge::unknown &&
        (values[0].lo < limits.lowest_percent || values[0].hi > limits.highest_percent))
        return fail(messages::outside(values[0].where, written(values[0].where), attribute, owner_.kind,
                                      limits.lowest_percent, limits.highest_percent));
    if (attribute == "pin"_attr) return pin_rules(values);
    if (attribute == "in"_attr && values.size() > 2)
        return fail({"too-many",
                     values[2].where,
                     fmt::format("{} lies in more than two bundles", messages::display(owner_)),
                     {},
                     {},
                     "a wire names one bundle, or two where it runs through both"});
    if (attribute == "in"_attr && values.size() == 2 && values[0].text == values[1].text)
        return fail({"twice",
                     values[1].where,
                     fmt::format("{} lies in bundle {} twice", messages::display(owner_), values[1].text),
                     {},
                     {},
                     "a wire names each bundle once"});
    if (attribute == "insulation"_attr && !values[1].present()) {
        const InsulationFamily* family = find_insulation(values[0].text);
        if (family)
            values[1] = {ValueType::quantity, Dimension::temperature, Knowledge::assumed,
                         family->limit_degC,  family->limit_degC,     "degC",
                         values[0].where};
    }
    if (attribute == "contacts"_attr && owner_.kind == Kind::relay) {
        static const std::vector<std::string_view> words = {"no", "nc", "change-over"};
        for (const Value& value : values)
            if (std::find(words.begin(), words.end(), value.text) == words.end())
                return fail(messages::unknown_word(value.where, attribute, value.text, words));
    }
    return true;
}

// pin NAME signal [V] | return | supply [V] A | output V A | low-side A | high-side A
bool ElementReader::pin_rules(std::span<const Value> values) {
    const std::string_view role = values[1].text;
    const Value& voltage = values[2];
    const Value& current = values[3];
    const bool has_voltage = role == "output";
    const bool may_have_voltage = role == "signal" || role == "supply";
    const bool has_current = role != "signal" && role != "return";
    const auto wanted = [&] {
        return fmt::format("for instance pin {} {}{}{}", values[0].text, role, has_voltage ? " 5 V" : "",
                           has_current ? " 50 mA" : "");
    };
    for (const auto& [value, takes, what] :
         {std::tuple(&voltage, has_voltage, "voltage"), std::tuple(&current, has_current, "current")}) {
        if (value->present() == takes || (may_have_voltage && value == &voltage)) continue;
        if (takes)
            return fail({"missing-value",
                         values[1].where,
                         fmt::format("'{}' does not say its {}", role, what),
                         {},
                         {},
                         wanted()});
        return fail({"left-over",
                     value->where,
                     fmt::format("'{}' is more than '{}' takes", written(value->where), role),
                     {},
                     {},
                     wanted()});
    }
    return true;
}

}  // namespace loomward
