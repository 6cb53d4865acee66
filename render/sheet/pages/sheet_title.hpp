// What the title block says and where: the data fields of ISO 7200 (memory) that are given, as many rows as
// they need, so that no text is cut.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {

// A field: its name small, below it its value. Places are mm from the top left of the block.
struct TitleCell {
    std::string_view name;
    std::vector<std::string> value;  // in rows
    bool to_sign = false;            // nothing is given: a line to sign on by hand
    double x = 0, width = 0;
};
struct TitleBand {
    double y = 0, height = 0;
    std::vector<TitleCell> cells;
};
struct TitleText {
    double base = 0, size = 0;
    bool bold = false;
    std::string text;
};

struct TitleBlock {
    std::vector<TitleText> name;   // title, supplementary title, what the sheet is limited to
    std::vector<TitleBand> bands;  // of fields, from top to bottom
    double verdict_top = 0;
    std::string verdict;          // "2 errors, 1 warning, no notes"; empty: the sheet shows no findings
    std::vector<TitleText> rest;  // below the verdict: what it rests on, and the cautions
    double height = 0;
};

// Of one page, 0 the first. Where the fields stand does not depend on the page or the scale.
TitleBlock title_block(const SheetPlan& plan, int page);

inline constexpr double field_name_size = 1.8, field_size = 2.4, field_row = 3.2, verdict_bar = 3.8;

}  // namespace loomward::sheet
