// Sizes and colours of the sheet. Millimetres on paper.
#pragma once
#include <cmath>
#include <string_view>

#include "parser/harness.hpp"
#include "render/sheet/model/sheet_options.hpp"
#include "render/svg/palette.hpp"

namespace loomward::sheet {

inline constexpr double module_mm = 1.8;        // the module of the symbols
inline constexpr double designator_size = 2.5;  // bold
inline constexpr double rating_size = 2.2;
inline constexpr double label_size_mm = 2.35;  // what stands at a wire
inline constexpr double small_size = 2.0;      // tags, terminals
inline constexpr double corner_radius = 2.0;
inline constexpr double flag_width = 5.1;  // with the gap after it
inline constexpr double node_gap = 0.35;
inline constexpr double seat_reach = 3.1 * module_mm;  // from a bar to the middle of a device on it

// Width of the drawn insulation for a cross-section; so that 0.25 and 50 mm2 are both lines one can see.
inline double wire_width(double area_mm2) {
    return 0.30 + 0.40 * std::sqrt(area_mm2);
}
// Width over the tint, or over the ladder of an unguarded wire.
inline double halo_width(double area_mm2, bool unguarded) {
    return wire_width(area_mm2) + (unguarded ? 2.9 : 2.1);
}

inline const Palette& palette_of(Theme theme) {
    return theme == Theme::dark ? dark_palette : light_palette;
}

// Insulation as drawn; a wire of no stated colour is grey.
constexpr std::string_view insulation_colour(Colour colour) {
    switch (colour) {
        case Colour::black:
            return "#151515";
        case Colour::brown:
            return "#7a4a21";
        case Colour::red:
            return "#d0252b";
        case Colour::orange:
            return "#f07f13";
        case Colour::yellow:
            return "#f6d32d";
        case Colour::green:
            return "#1f9a4c";
        case Colour::blue:
            return "#1d62c9";
        case Colour::violet:
            return "#8a4fc0";
        case Colour::white:
            return "#ffffff";
        case Colour::pink:
            return "#f39ab8";
        case Colour::gold:
            return "#c79a2b";
        case Colour::turquoise:
            return "#35c2c4";
        case Colour::silver:
            return "#c3c8cc";
        case Colour::grey:
        case Colour::none:
            break;
    }
    return "#8d949b";
}

}  // namespace loomward::sheet
