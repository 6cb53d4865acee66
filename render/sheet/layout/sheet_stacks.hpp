// Who stands above and below whom in the columns of a layout.
#pragma once
#include <vector>

#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {

// By node; -1: nobody, or a node that another one carries.
struct Stacks {
    std::vector<int> above, below;
};
Stacks stacks_of(const Layout& layout);

}  // namespace loomward::sheet
