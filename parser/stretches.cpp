#include "parser/stretches.hpp"

#include <span>
#include <string>

#include "parser/typed_lengths.hpp"

namespace loomward {

using namespace literals;

namespace {

std::span<const StretchId> stretches_of(const Harness& harness, const Wire& wire) {
    return std::span(harness.stretches_named).subspan(wire.along.first, wire.along.count);
}

// Nothing was said of it, which is no length where stretches are.
bool has_own_length(const Wire& wire) {
    return wire.length.dimension == Dimension::length;
}

Knowledge worse(Knowledge a, Knowledge b) {
    for (const Knowledge known : {Knowledge::unknown, Knowledge::about, Knowledge::assumed})
        if (a == known || b == known) return known;
    return Knowledge::stated;
}

}  // namespace

Quantity length_along(const Harness& harness, const Wire& wire) {
    if (wire.along.count == 0) return wire.length;
    Quantity sum = has_own_length(wire) ? wire.length : Quantity{0, 0, Dimension::length, Knowledge::stated};
    for (const StretchId id : stretches_of(harness, wire)) {
        const Value length = harness.value(harness.stretches[id.index()].attributes, "(length)"_attr);
        sum.known = worse(sum.known, length.present() ? length.known : Knowledge::unknown);
        sum.lo += length.lo;
        sum.hi += length.hi;
    }
    return sum.is_known() ? sum : Quantity{0, 0, Dimension::length, Knowledge::unknown};
}

void name_stretches_of(std::vector<Wire>& wires, const Harness& harness) {
    for (Wire& wire : wires) {
        if (wire.along.count == 0) continue;
        std::string text;
        if (has_own_length(wire) && wire.length.is_known()) {
            const std::string_view feet =
                typed_in_feet(harness, harness.value(wire.attributes, "(length)"_attr));
            text = (feet.empty() ? to_text(wire.length) : std::string(feet)) + ", ";
        }
        text += "along";
        for (const StretchId id : stretches_of(harness, wire))
            text.append(" ").append(harness.stretches[id.index()].name);
        wire.along_text = harness.strings->emplace_back(std::move(text));
    }
}

}  // namespace loomward
