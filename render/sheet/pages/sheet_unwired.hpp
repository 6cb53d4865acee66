// Parts no wire leads to: boxes in rows.
#pragma once
#include <string>
#include <vector>

#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {

struct UnwiredBox {
    int element = 0;
    Box box;
    std::string rating, label;  // as far as there is room for them
};
// From the top left, in rows that are `width` wide at the most.
std::vector<UnwiredBox> place_unwired(const SheetModel& model, double width);

}  // namespace loomward::sheet
