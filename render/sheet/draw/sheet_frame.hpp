// The frame of a page: its grid, title block, legend and list of findings.
#pragma once
#include "render/sheet/pages/sheet_page.hpp"
#include "render/svg/canvas.hpp"

namespace loomward::sheet {

// Frame, grid, and the strip below with legend, findings and title.
void draw_frame(Canvas& canvas, const SheetPlan& plan, int page);
// Height of the strip below the drawing, mm, for a number of findings on one page.
double legend_height(std::size_t findings, const PaperSize& paper);
// The most findings that any one page has to list.
std::size_t most_findings(const SheetPlan& plan);

}  // namespace loomward::sheet
