// A first harness, written from the little that somebody tells: what is left out is not known, and a check
// asks for it.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "parser/language/quantity.hpp"

namespace loomward {

// Something that draws: "head lamp" with "12 V" and "10 W", any of which may be missing.
struct FirstLoad {
    std::string label;
    std::vector<std::string> values;  // as the language writes them, at most one a dimension
    bool at_pack_voltage = false;     // though there is a converter
};

// What was told, each value as the language writes it; an empty text was not told.
struct FirstHarness {
    std::string name;
    std::string document, date, drawn_by;  // of its papers: texts
    std::string ambient;                   // "-5..40 degC"
    std::string cells, voltage, capacity;  // "13s8p" or "40..54.6 V"; "20 Ah" of the pack
    std::string discharge, charge;         // of the pack
    std::string bms_side;                  // "low", "high"
    bool separate_ports = false;           // of the battery management
    std::string main_fuse;                 // rated current
    bool isolator = false;                 // a switch behind the main fuse
    bool contactor = false;                // before the controller, with a key; nothing without a controller
    bool controller = false;
    std::string supply_limit;                          // of the controller
    std::string motor_leads;                           // "2", "3"
    std::string converter_negative, converter_output;  // "common", "isolated"; "12 V 10 A"
    std::vector<FirstLoad> loads;
    bool switched = false;                      // each load behind a switch of its own
    bool charger = false, charge_plug = false;  // the plug is between harness and charger
    std::string charger_output;                 // "54.6 V 5 A"
    bool without_fuses = false;                 // none but a main fuse that was told
};

// The whole text in its canonical layout (what `format_text` leaves as it is). Fuses and bars that nobody
// told are put in and said to be so. It has no modes: a check makes some until there are any. Same input,
// same text; what was told wrongly is not noticed here (read it back).
std::string first_harness_text(const FirstHarness& told);

// What was typed for a value of that dimension, as the language writes it: "40A" gives "40 A". Where it is
// none, `text` is empty and `trouble` says why: "60 has no unit: 60 A". A dimension is read with at most one
// number, or with two ends where `range` is wanted.
struct ToldValue {
    std::string text;
    std::string trouble;
};
ToldValue told_value(std::string_view typed, Dimension dimension, bool range = false);
// Several values after each other, one of each dimension: "54.6V 5A" gives "54.6 V 5 A".
ToldValue told_values(std::string_view typed, const std::vector<Dimension>& dimensions);

// "head lamp 12 V 10W": words, then values. `trouble` says what is no value.
struct ToldLoad {
    FirstLoad load;
    std::string trouble;
};
ToldLoad told_load(std::string_view typed);

}  // namespace loomward
