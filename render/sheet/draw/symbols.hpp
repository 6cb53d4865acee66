// The symbols of IEC 60617 as used on the sheet, lying along the current (left to right), and the small marks
// of our own: flag, gauge, arrow. Sizes in modules of 1.8 mm.
#pragma once
#include <string>

#include "render/sheet/model/sheet_model.hpp"
#include "render/svg/canvas.hpp"

namespace loomward::sheet {

// A symbol with leads to both ends of its length (body_size), its middle at (x, y). `flipped`: fed from the
// right.
void draw_symbol(Canvas& canvas, Symbol symbol, const Shape& shape, double x, double y, bool flipped);
// A coil with leads as long as the symbol above it, and the dashed link up to its contact at `contact_y`.
void draw_coil(Canvas& canvas, const Shape& shape, double x, double y, double length, double contact_y);
// The 8 mm square of a converter, charger, inverter or controller, or the circle of a motor; (x, y) is its
// top middle.
void draw_square(Canvas& canvas, Symbol symbol, const Shape& shape, double x, double y);
// The inside of a relay that changes over, 8 mm wide and 8.4 high, with the names of its terminals beside it;
// (x, y) is its top middle.
struct ChangeOver {
    std::string common, at_rest, at_work;
    bool worked = false;
};
void draw_change_over(Canvas& canvas, const ChangeOver& shown, double x, double y);
// Cells of a pack on a conductor between two heights.
void draw_cells(Canvas& canvas, double x, double top, double bottom, double edge_x);
// Frame connection hanging below (x, y).
void draw_frame(Canvas& canvas, double x, double y);
// Numbered pennant in a row of text: its left edge at x, the base line of the text at `base`. 4.3 x 2.9, of
// which 0.6 below the base line.
void draw_flag(Canvas& canvas, double x, double base, const Flag& flag);
// All flags of a thing in a row, at most a few; the last says how many more.
void draw_flags(Canvas& canvas, double x, double base, const std::vector<Flag>& flags);
// How far a wire is loaded: the tick stands at its limit, so that an overload shows as length past it.
void draw_gauge(Canvas& canvas, double x, double y, double width, double loading);
// A filled head pointing left, its tip at (x, y).
void draw_arrow(Canvas& canvas, double x, double y, double wire_mm);

}  // namespace loomward::sheet
