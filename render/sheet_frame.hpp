// The paper: frame with its grid, title block, legend, list of findings; and where the strips stand on it.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "render/sheet_draw.hpp"

namespace loomward::sheet {

struct PaperSize {
    double width = 0, height = 0;  // mm, landscape
};
PaperSize size_of(Paper paper);

struct PlacedStrip {
    int strip = -1;  // -1: the parts no wire leads to
    Layout layout;
    double x = 0, y = 0;           // of its top left, mm on paper
    double width = 0, height = 0;  // before scaling
    std::string caption;
};

struct Page {
    std::shared_ptr<const SheetModel> model;  // as drawn: long strips folded
    PaperSize paper;
    Box frame, field;  // the frame, and what is left for strips
    double scale = 1;  // of the strips
    int columns = 8, rows = 6;
    std::vector<PlacedStrip> strips;
    // "B3"; for a place on paper.
    std::string square(double x, double y) const;
};

// Deals the strips out in shelves, two side by side where they fit; folds long ones into bands where that
// allows larger lettering, and scales all of them down alike if it still must.
Page compose(SheetModel model, const SheetOptions& options);
// Frame, grid, and the strip below with legend, findings and title.
void draw_frame(Canvas& canvas, const Page& page);
// The grid square of an element's or a finding's place; empty where it has none.
std::string square_of_element(const Page& page, int element);
std::string square_of_line(const Page& page, int line);
double legend_height(const SheetModel& model, const PaperSize& paper);

}  // namespace loomward::sheet
