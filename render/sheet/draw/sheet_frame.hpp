// The frame of a page: its grid, title block, legend and list of findings.
#pragma once
#include "render/sheet/pages/sheet_page.hpp"
#include "render/svg/canvas.hpp"

namespace loomward::sheet {

// Frame, grid, and the strip below with legend, findings and title.
void draw_frame(Canvas& canvas, const SheetPlan& plan, int page);

}  // namespace loomward::sheet
