// What terminals are by the tables of kinds, whatever a part has printed on them (`marks`), and what further
// pins are there for. After the reader nobody asks for a terminal by its name.
#pragma once
#include <cstdint>
#include <optional>
#include <string_view>

namespace loomward {

enum class TerminalRole : std::uint8_t {
    own,  // numbered, named by the user, or the only point of a part
    // pack, capacitor, charger, load, supply of a controller
    plus,
    minus,
    tap,  // of a pack: has the number of cells between it and minus
    // battery management: towards the cells, the port, the charge port of its own
    battery_minus,
    port_minus,
    charge_minus,
    battery_plus,
    port_plus,
    charge_plus,
    // fuse, breaker, shunt, resistor, fuse block; contacts, with the number of their pole where there are
    // several
    in,
    out,
    com,
    no,
    nc,
    // coil
    coil_in,
    coil_out,
    // diode
    anode,
    cathode,
    // motor leads
    u,
    v,
    w,
    motor_plus,
    motor_minus,
    // converter
    in_plus,
    in_minus,
    out_plus,
    out_minus,
};

// As the language writes it: "A1"; of a tap "t". Empty: own.
std::string_view terminal_word(TerminalRole role);

constexpr bool is_motor_lead(TerminalRole role) {
    return role >= TerminalRole::u && role <= TerminalRole::motor_minus;
}

// "U", "M+"
bool is_motor_lead_word(std::string_view word);

// What one pole of a relay does.
enum class RelayPole : std::uint8_t { closes, opens, changes_over };
std::optional<RelayPole> find_relay_pole(std::string_view word);  // "no", "nc", "change-over"

// What a further pin of a controller, converter or device is there for.
enum class PinPurpose : std::uint8_t { signal, back, supply, output, low_side, high_side };
std::string_view pin_word(PinPurpose purpose);  // "return"
std::optional<PinPurpose> find_pin_purpose(std::string_view word);

constexpr bool is_driver(PinPurpose purpose) {
    return purpose == PinPurpose::low_side || purpose == PinPurpose::high_side;
}

}  // namespace loomward
