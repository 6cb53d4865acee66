// From heights to lines: column positions, and a track for every vertical piece in the channels between
// columns.
#pragma once
#include <vector>

#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {

// Sets x of every node, the path of every run, and the extent.
void route(Layout& layout);

// Half length of a symbol's reach: where a line ends on that side of the node.
double landing_x(const Layout& layout, const Node& node, Side side);
// Where the bar stands that an element is the bar of (or is seated on); the middle of its landings' column.
double bar_x(const Layout& layout, int bar);

// One vertical piece in a channel. A piece that turns has both ends on the same side.
struct Piece {
    double left_y = 0, right_y = 0;
    double halo = 0;   // mm kept free around it
    int part_of = -1;  // used while packing: the piece this is the second part of
};
// Two pieces that change places (each leaves at the height the other arrives at) cannot both run straight
// down: one of them steps aside halfway, at `jog_y`, to `jog_x`.
struct Channel {
    double width = 0;
    std::vector<double> x;             // by piece, from the channel's left edge
    std::vector<double> jog_x, jog_y;  // jog_x below 0: none
};
// Orders the pieces so that few of them cross, then packs them.
Channel pack_channel(const std::vector<Piece>& pieces);

// What can be counted in a layout's lines.
struct Tally {
    int crossings = 0;
    int on_top = 0;  // pieces of different lines on one another
    int bends = 0;
    double travel = 0;  // sum of vertical steps, weighted by width
};
Tally tally(const Layout& layout);

}  // namespace loomward::sheet
