#include "parser/typed_lengths.hpp"

namespace loomward {

using namespace literals;

std::string_view typed_in_feet(const Harness& harness, const Value& value) {
    const bool known = value.type == ValueType::quantity && value.known != Knowledge::unknown;
    if (!known || (value.text != "ft" && value.text != "in") || !harness.sources) return {};
    return harness.sources->text(value.where);
}

std::string_view typed_in_feet(const Harness& harness, const Wire& wire) {
    if (wire.along.count > 0) return wire.length.is_known() ? wire.along_text : std::string_view();
    return typed_in_feet(harness, harness.value(wire.attributes, "(length)"_attr));
}

std::string with_typed(std::string metres, std::string_view typed) {
    if (typed.empty()) return metres;
    return metres.append(" (").append(typed).append(")");
}

}  // namespace loomward
