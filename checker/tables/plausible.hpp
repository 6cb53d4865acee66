// What physical values usually are where nobody wrote them down: resistance of contacts, fuses, joints and
// cells, input capacitance, draw of coils, length of wires. None of them is a rating. Printed by
// `loomward explain --plausible` (docs/plausible.md).
//
// A range is not a bound: real parts lie outside now and then, and what is concluded from a range holds for
// that range only.
#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "parser/harness.hpp"

namespace loomward {

// How the weaker end of a row is known.
enum class RangeKnown : std::uint8_t {
    seen,         // both figures were read in the source
    second_hand,  // read in a text that repeats somebody else's figure
    derived,      // worked out here, or one end read and the other widened
    memory,       // recalled; a document beside it was not opened
};
std::string_view known_word(RangeKnown known);  // "seen", "seen at second hand", "derived", "memory"

enum class Confidence : std::uint8_t { high, medium, low };
std::string_view confidence_word(Confidence confidence);

// How the figure of a row becomes the value.
enum class Scaling : std::uint8_t {
    plain,
    at_rated_current,   // voltage at rated current: R = U / I
    by_charge,          // resistance times charge: R = x / Ah
    by_charge_in_line,  // the same for as many cells or blocks in line as the pack has: R = n x / Ah
    share_of_cells,     // of what the cells resist together: R = x n R_cell / p
    by_current,         // capacitance for each ampere: C = x I
    by_power_at_48,     // capacitance for each watt at 48 V: C = x P (48 V / U)2
    by_power,           // capacitance for each kilowatt: C = x I U
    coil_power,         // power at rated coil voltage: I = P / U
    times_rated,        // multiple of the rated or running current
    of_own_wire,        // as much as that length of the copper wires that meet there: R = l rho / A
};
struct ScalingInfo {
    std::string_view beside;   // after the unit: "at rated current", "x Ah"; may be empty
    std::string_view formula;  // "R = U / I"; empty: none
    Dimension gives{};         // of the value; none: that of the row's unit
    Dimension takes{};         // of the row's unit; none: any (plain), or a bare number (times_rated)
};
const ScalingInfo& info(Scaling scaling);

// Sizes that a row was made for, in A, Ah, mm2 or W by what sizes_of says; `to` 0: every size.
struct SizeClass {
    double from = 0;
    double to = 0;
};

// One row of the table: what is usual under one condition.
struct PlausibleRow {
    Kind kind{};
    Attr attribute{};
    std::size_t place = 0;       // of the attribute's values
    std::string_view what = {};  // "hand switch, new to worn"
    SizeClass size = {};
    SizeClass volts = {};         // of a full cell, or the largest input voltage; V
    std::string_view words = {};  // values of chosen_by(kind) it stands for, by blanks; empty: all of them
    double low = 0, high = 0;     // in `unit`
    std::string_view unit = {};   // of the language; empty: a multiple
    Scaling scaling = Scaling::plain;
    double each_V = 0;  // by_charge_in_line: voltage of one full cell or block
    double floor = 0;   // the value is never below this; base unit
    std::string_view source = {};
    RangeKnown known{};
    Confidence confidence{};
    std::string_view note = {};
};
// By kind; every kind in one piece.
std::span<const PlausibleRow> plausible_rows(Kind kind);

// What the sizes of an attribute's rows are: "carries" in A, "capacity" in Ah.
struct SizedBy {
    std::string_view word;  // empty: such rows have no size
    Dimension dimension{};
};
SizedBy sizes_of(Kind kind, Attr attribute);
// The attribute whose word chooses among the rows of a kind (`curve` of a fuse); nullopt: none does.
std::optional<Attr> chosen_by(Kind kind);
// "hand switch, new to worn; carries 1..20 A"
std::string applies_text(const PlausibleRow& row);
// The range that a row is taken as, in its unit. Of low confidence: twice as wide, low / 2 and high x 2
// (temperatures, of which a ratio means nothing: 10 K wider at either end); never outside what the attribute
// may be (an efficiency above 100 %).
SizeClass taken_as(const PlausibleRow& row);

struct PlausibleRange {
    Quantity range;               // base unit, Knowledge::assumed
    std::string source;           // of the rows that give the two ends; "no source"
    std::string_view how;         // known_word of the weaker of them
    std::string_view confidence;  // confidence_word of the weaker of them
    std::string applies;          // applies_text of every row it spans
};

// The plausible range of value `place` of an attribute, whether it is stated or not. Rows are picked by the
// part's kind and by what it states: its size (rated current, `carries`, capacity, output, the cross-sections
// that meet in a splice), its cells, its family (`curve`), `method`, `negative`, `acts-as`. The range spans
// all rows that are picked, new and aged ones alike: from the lowest low to the highest high, rows of low
// confidence taken twice as wide. A size between two classes is given both, one beyond the last class the
// last; a size that nobody knows, every class over all its sizes; a voltage that nobody knows, 12..160 V.
// nullopt: the table has no row, or nothing bounds it (a multiple of a current that nobody knows).
//
// Cells and packs: new, 25 degC, half full; cold, heat and age come on top (`aged-resistance`).
std::optional<PlausibleRange> plausible_value(const Harness& harness, PartId part, Attr attribute,
                                              std::size_t place = 0);
// `(length)`.
std::optional<PlausibleRange> plausible_value(const Harness& harness, WireId wire, Attr attribute,
                                              std::size_t place = 0);
// Of what is neither part nor wire: harness, location and bundle (which is as warm as a location), cable,
// policy. nullopt for kinds of part.
std::optional<PlausibleRange> plausible_value(Kind kind, Attr attribute, std::size_t place = 0);

}  // namespace loomward
