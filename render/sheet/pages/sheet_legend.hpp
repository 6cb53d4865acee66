// How much room the strip below the drawing takes, and which findings a page lists in it.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {

inline constexpr double title_width = 84, row_height = 2.9, entry_gap = 0.9, list_size = 2.0;

// Where the list of findings begins.
double legend_left(const PaperSize& paper);
// How many findings stand beside each other between legend and title, and how wide each may be.
std::size_t list_columns(const PaperSize& paper);
double list_column(const PaperSize& paper);
// From the left of an entry to its text.
double list_indent(const ListedFinding& finding);
// A finding as listed: its text in one row or two, then the square it stands in. `place`: as wide as it gets.
std::vector<std::string> finding_rows(const ListedFinding& finding, const PaperSize& paper,
                                      const std::string& place);
// Where each of them stands, from the top left of the list: column, and mm below its top. Those that find no
// room above `height` are left out.
struct ListedPlace {
    std::size_t column = 0;
    double y = 0;
    std::vector<std::string> rows;
};
std::vector<ListedPlace> list_places(const std::vector<const ListedFinding*>& list, const SheetPlan& plan,
                                     double height);
// Where the thing that a finding is about came to stand.
std::optional<Spot> spot_of(const SheetPlan& plan, const ListedFinding& finding);
std::vector<const ListedFinding*> findings_on(const SheetPlan& plan, int page);
// What to open before work, as it stands in the strip below the drawing: where the signs or the findings
// leave room.
struct BeforeWorkText {
    double x = 0, base = 0;  // from the top left of the block, mm
    std::string text;
    bool bold = false;
    int element = -1;  // whose square ends it
};
struct BeforeWork {
    double left = 0, below = 0;  // of its top left: mm from the left of the paper, from the top of the strip
    double height = 0;
    std::string heading;
    std::vector<BeforeWorkText> texts;
};
// Nothing where a strip of that height has no room for it on that page, or there is nothing to say.
std::optional<BeforeWork> before_work_on(const SheetPlan& plan, int page, double height);
// Height of the strip below the drawing, mm, that lists the findings of every page.
double legend_height(const SheetPlan& plan);
inline constexpr double least_legend = 32, most_legend = 80, list_head = 5.4;

}  // namespace loomward::sheet
