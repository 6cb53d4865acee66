#include "render/sheet/layout/sheet_stacks.hpp"

#include <algorithm>
#include <map>

namespace loomward::sheet {

Stacks stacks_of(const Layout& layout) {
    Stacks stacks{std::vector<int>(layout.nodes.size(), -1), std::vector<int>(layout.nodes.size(), -1)};
    std::map<int, std::vector<int>> columns;
    for (std::size_t i = 0; i < layout.nodes.size(); ++i)
        if (layout.nodes[i].carrier < 0) columns[layout.nodes[i].column].push_back(static_cast<int>(i));
    for (auto& [column, members] : columns) {
        std::stable_sort(members.begin(), members.end(),
                         [&](int a, int b) { return layout.node(a).y < layout.node(b).y; });
        for (std::size_t i = 1; i < members.size(); ++i) {
            stacks.above[static_cast<std::size_t>(members[i])] = members[i - 1];
            stacks.below[static_cast<std::size_t>(members[i - 1])] = members[i];
        }
    }
    return stacks;
}

}  // namespace loomward::sheet
