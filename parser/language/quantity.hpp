// Quantities: what dimension, between which limits, and how it is known.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace loomward {

// Numbers of a dimension are always held in the base unit named here.
enum class Dimension : std::uint8_t {
    none,                // a plain count
    voltage,             // V
    current,             // A
    resistance,          // ohm
    capacitance,         // F
    power,               // W
    energy,              // J
    charge,              // Ah
    time,                // s
    length,              // m
    area,                // mm2 (AWG sizes are converted by the ASTM B258 law)
    temperature,         // degC
    percentage,          // %
    torque,              // Nm
    joule_integral,      // A2s
    mass,                // kg
    thermal_resistance,  // K/W
    temperature_rise,    // K
    opening,             // cm2, that air flows through
    speed,               // m/s, of air
};

// How a value is known. `about` has both ends of its spread (parser/estimates) once all is read.
enum class Knowledge : std::uint8_t { stated, about, unknown, assumed };

// A value between two limits (equal for a single value), in the base unit.
struct Quantity {
    double lo = 0;
    double hi = 0;
    Dimension dimension = Dimension::none;
    Knowledge known = Knowledge::stated;
    bool is_known() const { return known != Knowledge::unknown; }
};

// "48 V", "1.2 mohm", "16 mm2", "2.5 kA": at most `digits` significant digits, a unit of the
// language whose number is easiest to read, never an exponent. Ranges print as "40..58 V", those over several
// units as "50 us to 20 s".
std::string to_text(double value, Dimension dimension, int digits = 3);
std::string to_text(const Quantity& quantity, int digits = 3);

// Reads "1 mohm", "40..58 V", "150 % of phase-peak", as the tables write their defaults. nullopt where the
// text does not begin with a number and a unit of the language.
std::optional<Quantity> quantity_from_text(std::string_view text);

}  // namespace loomward
