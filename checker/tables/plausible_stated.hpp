// What a part says that its plausible values hang on, and what follows for a row. Internal to checker/tables.
#pragma once
#include <optional>
#include <string_view>

#include "checker/tables/plausible.hpp"

namespace loomward::plausible {

// Between two ends, base unit.
struct Extent {
    double lo = 0;
    double hi = 0;
};

// nullopt, empty: nobody knows.
struct StatedFigures {
    std::optional<Extent> size;       // in what sizes_of says
    std::optional<Extent> class_V;    // full cell, or largest input voltage
    std::optional<Extent> supply_V;   // rated coil voltage, input voltages, voltage of the full pack
    std::optional<Extent> rated_A;    // that inrush, stall and short circuit are multiples of
    std::optional<Extent> cells_ohm;  // what the cells of a pack resist together
    std::string_view word;            // of chosen_by(kind)
    std::string_view chemistry;  // of a pack, by its name and label: "lead", "lfp", "lto", "nmc", "lithium"
};
// Whether cells or blocks of a row can make up the pack: by what its label says of them, and a whole number
// of them in line by the voltage of the full pack.
enum class Told : std::uint8_t { by_label_and_voltage, by_voltage };
bool can_make_up(const PlausibleRow& row, const StatedFigures& stated, Told told);

StatedFigures stated_by_part(const Harness& harness, PartId part, Attr attribute);
// The resistance of all cells of a pack together, from that of one; nullopt: not described by its cells.
std::optional<Extent> cells_together(const Harness& harness, PartId pack, Extent cell_ohm);
// What the row's figure, in base units, is multiplied by for these sizes: lo for its low end, hi for its high
// end. nullopt: nothing bounds it.
std::optional<Extent> factor_of(const PlausibleRow& row, const StatedFigures& stated, Extent sizes);

}  // namespace loomward::plausible
