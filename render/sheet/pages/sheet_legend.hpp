// How much room the strip below the drawing takes, and which findings a page lists in it.
#pragma once
#include <vector>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {

inline constexpr double title_width = 84, row_height = 3.9, list_column = 40, list_size = 2.0;

// Where the list of findings begins.
double legend_left(const PaperSize& paper);
// How many findings stand beside each other between legend and title.
std::size_t list_columns(const PaperSize& paper);
// Where the thing that a finding is about came to stand.
std::optional<Spot> spot_of(const SheetPlan& plan, const ListedFinding& finding);
std::vector<const ListedFinding*> findings_on(const SheetPlan& plan, int page);
// Height of the strip below the drawing, mm, for a number of findings on one page.
double legend_height(std::size_t findings, const PaperSize& paper);
// The most findings that any one page has to list.
std::size_t most_findings(const SheetPlan& plan);

}  // namespace loomward::sheet
