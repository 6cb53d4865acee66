// The units of the language: spellings, factors, accepted spans, and what people write instead.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "parser/language/quantity.hpp"

namespace loomward {

// One unit. `factor` times the number gives the base unit; AWG has no factor, see awg_to_mm2.
struct UnitInfo {
    std::string_view name;  // "mohm"; the only spelling
    Dimension dimension{};
    double factor = 1;
    bool printed = true;  // to_text may choose it (in, ft, cm and AWG are only read)
};

// What a dimension is called, and which numbers a harness can have: wide, to catch slipped prefixes.
struct DimensionInfo {
    Dimension dimension{};
    std::string_view word;    // "current"
    std::string_view a_word;  // "a current"
    std::string_view shape;   // "current", as shapes of kinds.hpp write it
    std::string_view unit;    // the base unit
    double lowest = 0;        // accepted, base unit, both ends included
    double highest = 0;
    std::string_view span;     // the same in words: "0 to 1500 V"
    std::string_view example;  // "100 A": what a message shows
    std::string_view range;    // "40..58 V"
};

std::span<const UnitInfo> unit_table();  // by dimension, small units first
std::span<const DimensionInfo> dimension_table();
const DimensionInfo& info(Dimension dimension);

// The unit of exactly that spelling, or nullptr.
const UnitInfo* find_unit(std::string_view spelling);
// The unit that somebody meant who wrote "mm^2", "sqmm", "ohms", "ma", "Nms": as a spelling of the language,
// empty if none comes near. `wanted` prefers units of that dimension.
std::string_view unit_meant_by(std::string_view spelling, Dimension wanted = Dimension::none);
// "uA, mA, A, kA"
std::string units_of(Dimension dimension);

// Cross-section of an American wire gauge, mm2: d = 0.127 mm * 92^((36 - n) / 39) (ASTM B258). `gauge` is 0
// for 1/0, -1 for 2/0 ... -3 for 4/0, and at most 40.
double awg_to_mm2(int gauge);

}  // namespace loomward
