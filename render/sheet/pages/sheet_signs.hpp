// Which signs stand on a page: the legend explains these and no others.
#pragma once
#include <set>
#include <string>
#include <vector>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {

enum class Sign : std::uint8_t {
    colours,  // a row of the legend with up to four of them
    unstated,
    guarded,
    all_guards,  // a row of its own for each tag that names the first of several
    electronic,
    unguarded,
    short_lead,
    cable,
    bundle,
    loading,
    overload,
    temperature,
    too_hot,
    current,
    too_much,
    leftward,
    wire_end,
    joint,
    goes_on,
    accepted,
    possible,
    pale,
};
struct SignRow {
    Sign sign{};
    std::string text;
    std::vector<Colour> colours;
};
// Of one page; below 0: of all of them.
std::vector<SignRow> signs_on(const SheetPlan& plan, int page);

inline constexpr double sign_row = 4.1;
// Columns of the legend, and its height with the signs of every page.
std::size_t sign_columns(const PaperSize& paper);
double sign_column(const PaperSize& paper);  // mm
double signs_height(const SheetPlan& plan);
// Where the signs of a page stand in a strip of that height: rows of a column, columns that are in use. As
// few columns as the height allows: what to open before work stands beside them.
struct SignColumns {
    std::size_t rows = 1, used = 0;
};
SignColumns sign_columns_on(const SheetPlan& plan, int page, double height);

}  // namespace loomward::sheet
