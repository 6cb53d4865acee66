// The sheet: the drawing of a harness. Three steps that can be read and tested alone: place (Graphviz decides
// columns, order and heights), route (lines in the channels between columns), draw (SVG).
#pragma once
#include <string>

#include "checker/results.hpp"

namespace loomward {

enum class Paper { a4, a3, letter, tabloid };
enum class Theme { light, dark };

struct SheetOptions {
    Paper paper = Paper::a3;
    Theme theme = Theme::light;
};

// The sheet as one SVG document. Same results, same bytes.
std::string sheet_svg(const Results& results, const SheetOptions& options = {});

// SVG to other formats (librsvg, cairo). `dots_per_inch` for PNG; sides are limited to 32,767 dots.
std::string svg_to_png(const std::string& svg, double dots_per_inch = 150);
std::string svg_to_pdf(const std::string& svg);

}  // namespace loomward
