// A laid out strip as SVG, and the sheet around the strips.
#pragma once
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "render/sheet/pages/sheet_page.hpp"
#include "render/svg/canvas.hpp"

namespace loomward::sheet {

// Which tint each guard has; they repeat after eight.
using Tints = std::map<std::string, std::string_view>;
Tints choose_tints(const SheetModel& model, const Palette& palette);

// What references lead to.
std::string element_target(int element);
std::string line_target(int line);

// The strip in its own millimetres. The owner of each mark is the index of its node. `square_of` names the
// grid square that an element refers to: of the terminal a pennant names, of the other half of a converter.
using SquareOf = std::function<std::string(int element)>;
void draw_strip(Canvas& canvas, const Layout& layout, const Tints& tints, const SquareOf& square_of);

// Every page of a plan. `prepare` is called with each empty canvas before anything is drawn on it.
using PrepareCanvas = std::function<void(Canvas& canvas, int page)>;
std::vector<Canvas> draw_pages(const SheetPlan& plan, const SheetOptions& options,
                               const PrepareCanvas& prepare = {});

// The strokes of one line, as wide as its cross-section: used by strips and by the legend.
void draw_tint(Canvas& canvas, const Line& line, const std::string& path, const Tints& tints);
void draw_wire(Canvas& canvas, const Line& line, const std::string& path);

// Where a line ends. Without those whose middle lies inside a larger one.
struct EndCircle {
    Point at;
    double radius = 0;  // mm
};
std::vector<EndCircle> circles_apart(std::vector<EndCircle> circles);

// Parts no wire leads to: boxes in rows, `width` wide.
void draw_unwired(Canvas& canvas, const SheetModel& model, double width);

}  // namespace loomward::sheet
