#include "checker/failures/failure_kinds.hpp"

namespace loomward {
namespace {

using enum FailureKind;

constexpr std::size_t part_kinds = static_cast<std::size_t>(Kind::wire) + 1;  // and wires

// clang-format off
constexpr std::array<FailureKindRow, failure_kind_count> rows = {{
    {welds, "welds", "welds", "weld", true},
    {stays_open, "stays-open", "stays open", "stay open"},
    {bridged, "bridged", "is bridged", "are bridged", true},
    {opens, "opens", "opens", "open"},
    {breaks, "breaks", "breaks", "break"},
    {touches, "touches", "touches", "touch", true},
    {commanded, "commanded", "at full command", "at full command", true},
    {pin_on, "pin-on", "stays on", "stay on", true},
    {pin_off, "pin-off", "stays off", "stay off"},
    {parted, "parted", "parts", "part"},
    {contact_off, "contact-off", "opens", "open"},
    {trips, "trips", "opens", "open"},
    {never_trips, "never-trips", "does not open", "do not open", true},
    {dies, "dies", "dies", "die"},
    {passes, "passes", "fails through", "fail through", true},
    {shorts, "shorts", "fails through", "fail through", true},
    {gone, "gone", "gives nothing", "give nothing"},
    {one_cell, "one-cell", "has a dead cell", "have a dead cell"},
    {runs_on, "runs-on", "runs on", "run on", true},
    {left_in, "left-in", "left in", "left in", true},
}};

constexpr std::string_view one_point = "one point: its wires break";
constexpr std::string_view shorted = "inside it only a short matters: see fault";

constexpr std::array<PartFailures, part_kinds> table = {{
    {Kind::pack, {gone, one_cell}, 2, {}},
    {Kind::bms, {trips, never_trips}, 2, {}},
    {Kind::fuse, {opens, bridged}, 2, {}},
    {Kind::breaker, {opens, bridged}, 2, {}},
    {Kind::protector, {trips, never_trips}, 2, {}},
    {Kind::fuse_block, {}, 0, one_point},
    {Kind::contactor, {welds, stays_open}, 2, {}},
    {Kind::relay, {welds, stays_open}, 2, {}},
    {Kind::switch_, {welds, stays_open}, 2, {}},
    {Kind::selector, {welds, stays_open}, 2, {}},
    {Kind::connector, {parted, contact_off}, 2, {}},
    {Kind::terminal_block, {}, 0, one_point},
    {Kind::splice, {}, 0, one_point},
    {Kind::stud, {}, 0, one_point},
    {Kind::busbar, {}, 0, one_point},
    {Kind::frame, {}, 0, one_point},
    {Kind::port, {}, 0, one_point},
    {Kind::shunt, {opens}, 1, {}},
    {Kind::resistor, {opens}, 1, {}},
    {Kind::capacitor, {}, 0, shorted},
    {Kind::diode, {shorts, opens}, 2, {}},
    {Kind::controller, {runs_on, dies, pin_on, pin_off}, 4, {}},
    {Kind::motor, {}, 0, "fails as its controller does"},
    {Kind::converter, {dies, passes, pin_on, pin_off}, 4, {}},
    {Kind::charger, {left_in}, 1, {}},
    {Kind::panel, {}, 0, "no mode says what it drives"},
    {Kind::inverter, {dies}, 1, {}},
    {Kind::load, {}, 0, shorted},
    {Kind::device, {commanded, dies, pin_on, pin_off}, 4, {}},
    {Kind::wire, {breaks, touches}, 2, {}},
}};
// clang-format on

static_assert([] {
    for (std::size_t i = 0; i < rows.size(); ++i)
        if (rows[i].kind != static_cast<FailureKind>(i)) return false;
    return true;
}());
static_assert([] {
    for (std::size_t i = 0; i < table.size(); ++i) {
        if (table[i].part != static_cast<Kind>(i)) return false;
        if ((table[i].count == 0) == table[i].none_because.empty()) return false;
    }
    return true;
}());

}  // namespace

const FailureKindRow& row(FailureKind kind) {
    return rows[static_cast<std::size_t>(kind)];
}

std::span<const PartFailures> part_failures() {
    return table;
}

std::span<const FailureKind> failures_of(Kind part) {
    const auto at = static_cast<std::size_t>(part);
    if (at >= table.size()) return {};
    return std::span(table[at].kinds).first(table[at].count);
}

}  // namespace loomward
