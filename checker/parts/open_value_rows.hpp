// What hangs on each attribute while it is open, and how one finds it out. Internal to open_values.
#pragma once
#include <optional>

#include "checker/parts/open_values.hpp"

namespace loomward {

// How one finds it out.
inline constexpr std::string_view printed_on_it = "it stands on its print or in its data sheet";
inline constexpr std::string_view with_a_clamp = "measure it with a direct-current clamp while it works";
inline constexpr std::string_view with_a_clock =
    "look at a clock while it works, on the longest day that you know of";

// An attribute without a row may hide anything.
inline constexpr Reach any_reach{.currents = true, .guards = true, .any_rule = true};

struct OpenValueRow {
    Attr attribute;
    Hides hides;
    std::string_view judges;
    std::string_view find_out;
    Reach reach = {};
};

// nullptr: it has none, and may hide an error of any rule. `kind`: of the part; nullopt: it is of none.
const OpenValueRow* open_value_row(std::optional<Kind> kind, Attr attribute);

// What is judged over the course of a mode, so that it hangs on how long a level lasts.
inline constexpr std::string_view judged_over_time =
    "overloaded-wire, overloaded-contact, overloaded-fuse, overloaded-diode, overloaded-shunt, "
    "overloaded-resistor, overloaded-motor, overloaded-pin, overloaded-protector, overdrawn-pack, "
    "overdrawn-bms, overheated-wire, overheated-contact, overheated-box, overheated-motor, pack-too-hot, "
    "charged-hot, controller-gives-less, cuts-out, nuisance-trip, panel-current";

}  // namespace loomward
