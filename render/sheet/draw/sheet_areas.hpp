// Pale areas round neighbouring parts of one location, where a free spot for its name is found.
#pragma once
#include <string>
#include <vector>

#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {

struct NamedArea {
    std::string name;
    Box box;
    Point at;  // base line of the name, its left end
};
// In the millimetres of the strip. No name lies on a node, a bar or a line; no area holds a stranger.
std::vector<NamedArea> find_areas(const Layout& layout);

}  // namespace loomward::sheet
