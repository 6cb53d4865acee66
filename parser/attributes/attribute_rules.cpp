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
    if (attribute == "along"_attr)
        for (std::size_t i = 1; i < values.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                if (values[i].text == values[j].text)
                    return fail(
                        {"twice",
                         values[i].where,
                         fmt::format("{} runs along {} twice", messages::display(owner_), values[i].text),
                         {},
                         {},
                         "a wire names each stretch once; what it runs twice stands in its own length"});
    if (attribute == "insulation"_attr && !values[1].present()) {
        const InsulationFamily* family = find_insulation(values[0].text);
        if (family)
            values[1] = {ValueType::quantity, Dimension::temperature, Knowledge::assumed,
                         family->limit_degC,  family->limit_degC,     "degC",
                         values[0].where};
    }
    // Said alone it means yes.
    const bool said_alone =
        attribute == "latching"_attr || attribute == "stop"_attr || attribute == "hand"_attr;
    if (said_alone && !values[0].present())
        values[0] = {ValueType::word, Dimension::none, Knowledge::stated, 0, 0, "yes", current_where_};
    if (attribute == "contacts"_attr && owner_.kind == Kind::relay) {
        static const std::vector<std::string_view> words = {"no", "nc", "change-over"};
        for (const Value& value : values)
            if (std::find(words.begin(), words.end(), value.text) == words.end())
                return fail(messages::unknown_word(value.where, attribute, value.text, words));
    }
    return true;
}

// pin NAME signal [V] | return | supply [V] [A] | output [V] [A] | low-side [A] | high-side [A]
bool ElementReader::pin_rules(std::span<Value> values) {
    const std::string_view role = values[1].text;
    const bool signal = role == "signal", supply = role == "supply", output = role == "output";
    const bool takes_voltage = signal || supply || output;
    const bool takes_current = !signal && role != "return";
    const auto left_over = [&](const Value& value) {
        return fail({"left-over",
                     value.where,
                     fmt::format("'{}' is more than '{}' takes", written(value.where), role),
                     {},
                     {},
                     fmt::format("for instance pin {} {}{}{}", values[0].text, role, output ? " 5 V" : "",
                                 takes_current ? " 50 mA" : "")});
    };
    if (values[2].present() && !takes_voltage) return left_over(values[2]);
    if (values[3].present() && !takes_current) return left_over(values[3]);
    // What an output gives and a supply draws is not known where it is not said.
    const auto unknown = [&](Value& value, Dimension dimension) {
        if (value.present()) return;
        value = {ValueType::quantity, dimension, Knowledge::unknown, 0, 0, {}, values[1].where};
    };
    if (output) unknown(values[2], Dimension::voltage);
    if (takes_current) unknown(values[3], Dimension::current);
    return true;
}

}  // namespace loomward
