#include "checker/parts/protectors.hpp"

#include "checker/circuit/latching.hpp"

namespace loomward {

using namespace literals;

bool opens_in_a_short(const Facts& facts, PartId part) {
    return facts.harness().part(part).kind != Kind::protector ||
           facts.quantity(part, "breaks"_attr).has_value();
}

bool never_opens(const Facts& facts, PartId id) {
    const Harness& harness = facts.harness();
    const Part& part = harness.part(id);
    if (part.kind == Kind::protector) {
        const Value& breaks = harness.value(part.attributes, "breaks"_attr);
        return breaks.present() && breaks.known != Knowledge::unknown && breaks.type == ValueType::word;
    }
    return part.kind == Kind::bms && part.drives && is_latching(harness, part.drives);
}

}  // namespace loomward
