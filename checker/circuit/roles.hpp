// What a part does between two of its points, and every answer that hangs on nothing but that: what conducts,
// what is a source, what uses a current, what guards, what opens. One row a role; a question that is asked in
// two places is a column here, so that both get the same answer. What the numbers of a part or the state of a
// contact add to it is asked elsewhere (checker/parts/elements, checker/parts/capacities).
#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace loomward {

enum class EdgeRole : std::uint8_t {
    wire,
    joint,
    contact,  // one mated contact of a connector: way = its number from 0
    fuse,
    breaker,
    switching,  // one contact of a switch, contactor, relay or selector: way = pole, or position
    trip,       // a BMS between battery and port side
    protector,  // a protector, in to out: electronics that open one lead
    shunt,
    resistor,
    coil,
    diode,         // A -> K
    emf,           // one section of a pack between neighbouring taps, minus -> plus
    load,          // load + -> -
    controller,    // supply input + -> -
    regeneration,  // the same controller giving back: - -> +
    capacitor,
    converter_input,    // in+ -> in-
    converter_output,   // out- -> out+
    converter_reverse,  // out+ -> in+, where it is not blocked
    charger,            // - -> +
    panel,        // - -> +; judged by its ratings (checker/circuit/panel_field), no source to the solver
    panel_input,  // of a charger: in+ -> in-; the same
    supply_pin,   // a device or controller pin that draws: pin -> minus
    output_pin,   // a pin that supplies: minus -> pin
    low_side,     // driver from pin to minus
    high_side,    // driver from plus to pin
};
inline constexpr std::size_t role_count = static_cast<std::size_t>(EdgeRole::high_side) + 1;

struct RoleRow {
    EdgeRole role{};
    std::string_view name;
    bool conducts = false;       // passes a current both ways without using it
    bool one_way = false;        // passes it from `from` to `to` only
    bool source = false;         // drives a current out of `to`
    bool self_limiting = false;  // a source whose own electronics hold its current
    bool uses = false;           // draws from `from` (its plus) to `to`, as long as it has voltage
    bool power = false;       // of those: a consumer in its own right, not a coil or a pin that is fed aside
    bool polarised = false;   // must not stand the wrong way round
    bool stores = false;      // charged at rest, an inrush and a source for a moment
    bool protective = false;  // made to open at too much current, proven by a published band
    bool opens_on_current = false;  // opens by itself at too much current, whatever by
    bool electronic = false;        // what holds or opens it is electronics
    bool opened_by_hand = false;    // a person or a coil opens it on purpose: disconnects
    bool opened_by_electronics = false;
    bool driver = false;       // a transistor in a device: has a state of its own in a mode
    bool fails_short = false;  // what stands between its two points may become a short
    bool passes_on = false;    // rated for what it passes for long, and opens by none of it
};

// clang-format off
inline constexpr std::array<RoleRow, role_count> role_table = {{
    {.role = EdgeRole::wire, .name = "wire", .conducts = true},
    {.role = EdgeRole::joint, .name = "joint", .conducts = true},
    {.role = EdgeRole::contact, .name = "contact", .conducts = true, .opened_by_hand = true,
     .passes_on = true},
    {.role = EdgeRole::fuse, .name = "fuse", .conducts = true, .protective = true, .opens_on_current = true},
    {.role = EdgeRole::breaker, .name = "breaker", .conducts = true, .protective = true,
     .opens_on_current = true, .opened_by_hand = true},
    {.role = EdgeRole::switching, .name = "switching", .conducts = true, .opened_by_hand = true,
     .passes_on = true},
    {.role = EdgeRole::trip, .name = "trip", .conducts = true, .opens_on_current = true, .electronic = true,
     .opened_by_electronics = true},
    {.role = EdgeRole::protector, .name = "protector", .conducts = true, .opens_on_current = true,
     .electronic = true, .opened_by_electronics = true},
    {.role = EdgeRole::shunt, .name = "shunt", .conducts = true, .passes_on = true},
    {.role = EdgeRole::resistor, .name = "resistor"},
    {.role = EdgeRole::coil, .name = "coil", .uses = true},
    {.role = EdgeRole::diode, .name = "diode", .one_way = true, .fails_short = true, .passes_on = true},
    {.role = EdgeRole::emf, .name = "emf", .source = true, .polarised = true},
    {.role = EdgeRole::load, .name = "load", .uses = true, .power = true, .polarised = true,
     .fails_short = true},
    {.role = EdgeRole::controller, .name = "controller", .uses = true, .power = true, .polarised = true,
     .fails_short = true},
    {.role = EdgeRole::regeneration, .name = "regeneration", .source = true, .self_limiting = true,
     .electronic = true},
    {.role = EdgeRole::capacitor, .name = "capacitor", .polarised = true, .stores = true,
     .fails_short = true},
    {.role = EdgeRole::converter_input, .name = "converter_input", .uses = true, .power = true,
     .polarised = true, .fails_short = true},
    {.role = EdgeRole::converter_output, .name = "converter_output", .source = true, .self_limiting = true,
     .polarised = true, .electronic = true, .fails_short = true},
    {.role = EdgeRole::converter_reverse, .name = "converter_reverse", .one_way = true},
    {.role = EdgeRole::charger, .name = "charger", .source = true, .self_limiting = true, .polarised = true,
     .electronic = true, .fails_short = true},
    {.role = EdgeRole::panel, .name = "panel"},
    {.role = EdgeRole::panel_input, .name = "panel_input"},
    {.role = EdgeRole::supply_pin, .name = "supply_pin", .uses = true, .polarised = true,
     .fails_short = true},
    {.role = EdgeRole::output_pin, .name = "output_pin", .source = true, .self_limiting = true,
     .electronic = true},
    {.role = EdgeRole::low_side, .name = "low_side", .electronic = true, .opened_by_electronics = true,
     .driver = true},
    {.role = EdgeRole::high_side, .name = "high_side", .electronic = true, .opened_by_electronics = true,
     .driver = true},
}};
// clang-format on

static_assert([] {
    for (std::size_t i = 0; i < role_count; ++i)
        if (role_table[i].role != static_cast<EdgeRole>(i)) return false;
    return true;
}());

constexpr const RoleRow& row(EdgeRole role) {
    return role_table[static_cast<std::size_t>(role)];
}

constexpr bool is_conductor(EdgeRole role) {
    return row(role).conducts;
}
// Through which a current gets on, be it in one direction only.
constexpr bool conducts(EdgeRole role) {
    return row(role).conducts || row(role).one_way;
}
constexpr bool one_way(EdgeRole role) {
    return row(role).one_way;
}
constexpr bool is_source(EdgeRole role) {
    return row(role).source;
}
constexpr bool limits_itself(EdgeRole role) {
    return row(role).self_limiting;
}
constexpr bool uses(EdgeRole role) {
    return row(role).uses;
}
constexpr bool uses_power(EdgeRole role) {
    return row(role).power;
}
// Between a feed and its return, with or without a current at rest: shorted, it is the fault.
constexpr bool lies_across(EdgeRole role) {
    return row(role).uses || row(role).stores;
}
// A fuse or a breaker.
constexpr bool is_protective(EdgeRole role) {
    return row(role).protective;
}
// A fuse, a breaker, a protector or the overcurrent trip of a BMS.
constexpr bool opens_on_current(EdgeRole role) {
    return row(role).opens_on_current;
}
constexpr bool is_electronic(EdgeRole role) {
    return row(role).electronic;
}
constexpr bool opened_by_hand(EdgeRole role) {
    return row(role).opened_by_hand;
}
constexpr bool is_driver(EdgeRole role) {
    return row(role).driver;
}
constexpr bool fails_short(EdgeRole role) {
    return row(role).fails_short;
}
// A contact, switch, shunt or diode.
constexpr bool passes_on(EdgeRole role) {
    return row(role).passes_on;
}

}  // namespace loomward
