// The colours of a drawing.
#pragma once
#include <array>
#include <string_view>

namespace loomward::sheet {

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

}  // namespace loomward::sheet
