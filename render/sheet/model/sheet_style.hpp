// Sizes and colours of the sheet. Millimetres on paper.
#pragma once
#include <array>
#include <cmath>
#include <string_view>

#include "parser/harness.hpp"
#include "render/sheet.hpp"

namespace loomward::sheet {

inline constexpr double module_mm = 1.8;        // the module of the symbols
inline constexpr double designator_size = 2.5;  // bold
inline constexpr double rating_size = 2.2;
inline constexpr double label_size_mm = 2.35;  // what stands at a wire
inline constexpr double small_size = 2.0;      // tags, terminals
inline constexpr double corner_radius = 2.0;
inline constexpr double flag_width = 5.1;  // with the gap after it
inline constexpr double node_gap = 0.35;

// Width of the drawn insulation for a cross-section; so that 0.25 and 50 mm2 are both lines one can see.
inline double wire_width(double area_mm2) {
    return 0.30 + 0.40 * std::sqrt(area_mm2);
}
// Width over the tint, or over the ladder of an unguarded wire.
inline double halo_width(double area_mm2, bool unguarded) {
    return wire_width(area_mm2) + (unguarded ? 2.9 : 2.1);
}

// Colours differ in lightness too, so that a sheet survives a grey printer.
struct Palette {
    std::string_view paper, ink, soft, area, area_edge, error, warning, error_ink;
    std::array<std::string_view, 8> tints;
};
inline constexpr Palette light_palette = {
    "#ffffff",
    "#1c2024",
    "#5b636b",
    "#f4f5f3",
    "#a9b0b5",
    "#b3261e",
    "#f2b705",
    "#ffffff",
    {"#a9d8f5", "#fbd08a", "#a5dfc3", "#e6bfe0", "#d9dc8c", "#f5b7a1", "#b9c3f2", "#cfc7b8"}};
inline constexpr Palette dark_palette = {
    "#16191d",
    "#eceff1",
    "#aab2b9",
    "#1e2226",
    "#5d666e",
    "#f0574a",
    "#f2b705",
    "#16191d",
    {"#1f5673", "#6f4d12", "#1f5d45", "#5f3a5a", "#55581c", "#70382a", "#384375", "#4c463b"}};
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
