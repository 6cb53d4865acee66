// The options of `new` as they are typed, and what they tell.
#pragma once
#include <string>
#include <vector>

#include "parser/first/first_harness.hpp"

namespace loomward::cli {

struct NewWords {
    std::string name, document, date, drawn_by;
    std::string ambient, cells, voltage, capacity, discharge, charge, main_fuse, bms_side;
    std::string controller, motor, converter, negative, charger;
    std::vector<std::string> loads, pack_loads;
    bool separate_ports = false, isolator = false, contactor = false, switched = false, charge_plug = false;
    bool without_fuses = false;
};

// Fills `first` with the values in the spelling of the language. Empty, or which option says what is none:
// "--discharge 60: 60 has no unit: 60 A". A part of which nothing is known is told as `unknown`.
std::string tell_first_harness(const NewWords& typed, const std::string& file, FirstHarness& first);

}  // namespace loomward::cli
