// The legend: a sample of every sign that stands on the page.
#pragma once
#include "render/sheet/pages/sheet_page.hpp"
#include "render/svg/canvas.hpp"

namespace loomward::sheet {

// From (x, top) down, as wide as the legend of that paper is.
void draw_samples(Canvas& canvas, const SheetPlan& plan, int page, double x, double top);

}  // namespace loomward::sheet
