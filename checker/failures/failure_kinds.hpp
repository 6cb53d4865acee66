// What can fail, by kind of part: one row a kind. A kind of part without a row does not build, nor one
// without a failure that does not say why.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <string_view>

#include "parser/language/kinds.hpp"

namespace loomward {

enum class FailureKind : std::uint8_t {
    welds,       // a contact never opens again
    stays_open,  // a contact, breaker or protector never closes again
    bridged,     // a fuse is a bolt, a breaker does not open
    opens,       // a fuse or breaker that has nothing to open for
    breaks,      // a wire
    touches,     // the lead to a driver pin against what the pin switches it to
    commanded,   // the lead to a signal pin against a supply: full command
    pin_on,      // a driver that never switches off
    pin_off,
    parted,       // a plug
    contact_off,  // one contact of it
    trips,        // a BMS or protector that opens under way
    never_trips,  // ... that does not open
    dies,         // electronics that give nothing
    passes,       // a converter whose input stands on its output
    shorts,       // a diode
    gone,         // one pack of several
    one_cell,     // one cell of a pack at nothing
    runs_on,      // a controller that runs at its limit, whatever is asked
    left_in,      // the lead of a charger, plugged in and giving
};
inline constexpr std::size_t failure_kind_count = static_cast<std::size_t>(FailureKind::left_in) + 1;

struct FailureKindRow {
    FailureKind kind{};
    std::string_view name;  // of the JSON: "sticks-closed"
    std::string_view does;  // "welds", as in "K1 welds"
    std::string_view do_;   // "K1 K2 weld"
    bool adds = false;      // joins what should be apart, or moves what nobody asked
};
const FailureKindRow& row(FailureKind kind);

struct PartFailures {
    Kind part{};
    std::array<FailureKind, 4> kinds{};
    std::size_t count = 0;
    std::string_view none_because;  // where it has none
};
std::span<const PartFailures> part_failures();
std::span<const FailureKind> failures_of(Kind part);

}  // namespace loomward
