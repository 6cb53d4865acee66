#include "checker/parts/bolted.hpp"

#include <algorithm>

#include "parser/language/kinds.hpp"

namespace loomward {

using namespace literals;

bool is_bolted(const Harness& harness, PartId id) {
    const Part& part = harness.part(id);
    if (!find_attribute(part.kind, "torque"_attr) || part.holder) return false;
    switch (part.kind) {
        case Kind::busbar:
        case Kind::stud:
        case Kind::shunt:
        case Kind::contactor:
        case Kind::frame:
        case Kind::pack:
            return true;
        case Kind::fuse:
            if (harness.value(part.attributes, "curve"_attr).text == std::string_view("iso8820-5"))
                return true;
            break;
        default:
            break;
    }
    const auto mine = [&](TerminalId terminal) { return harness.terminal(terminal).part == id; };
    return std::any_of(harness.joints.begin(), harness.joints.end(),
                       [&](const Joint& joint) { return mine(joint.a) || mine(joint.b); }) ||
           std::any_of(harness.wires.begin(), harness.wires.end(), [&](const Wire& wire) {
               return wire.area.is_known() && wire.area.lo >= thick_mm2 && (mine(wire.from) || mine(wire.to));
           });
}

}  // namespace loomward
