#include <algorithm>
#include <cmath>
#include <map>

#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {
namespace {

constexpr double straight = 0.05;

class Snapper {
  public:
    explicit Snapper(Layout& layout) : layout_(layout), links_(layout.nodes.size()) {
        for (std::size_t i = 0; i < layout.links.size(); ++i) {
            links_[static_cast<std::size_t>(layout.links[i].left)].push_back(i);
            links_[static_cast<std::size_t>(layout.links[i].right)].push_back(i);
        }
        stack_columns();
    }

    // What is straight afterwards weighs more than before, so this ends; a few rounds do nearly all of it.
    void run() {
        for (int round = 0; round < 6; ++round) {
            bool moved = false;
            for (std::size_t i = 0; i < layout_.nodes.size(); ++i) moved = settle(i) || moved;
            for (std::size_t i = layout_.nodes.size(); i-- > 0;) moved = settle(i) || moved;
            if (!moved) break;
        }
    }

  private:
    void stack_columns() {
        above_.assign(layout_.nodes.size(), -1);
        below_.assign(layout_.nodes.size(), -1);
        std::map<int, std::vector<int>> columns;
        for (std::size_t i = 0; i < layout_.nodes.size(); ++i)
            columns[layout_.nodes[i].column].push_back(static_cast<int>(i));
        for (auto& [column, members] : columns) {
            std::stable_sort(members.begin(), members.end(),
                             [&](int a, int b) { return layout_.node(a).y < layout_.node(b).y; });
            for (std::size_t i = 1; i < members.size(); ++i) {
                above_[static_cast<std::size_t>(members[i])] = members[i - 1];
                below_[static_cast<std::size_t>(members[i - 1])] = members[i];
            }
        }
    }

    // How far the node would have to move for that line to run straight into it.
    double step_of(std::size_t node, const Link& link) const {
        const double left = layout_.node(link.left).y + link.left_y;
        const double right = layout_.node(link.right).y + link.right_y;
        return link.left == static_cast<int>(node) ? right - left : left - right;
    }
    double straightened(std::size_t node, double step) const {
        double weight = 0;
        for (const std::size_t each : links_[node]) {
            const Link& link = layout_.links[each];
            if (std::abs(step_of(node, link) - step) < straight)
                weight += 1 + wire_width(layout_.line(link.line).area_mm2);
        }
        return weight;
    }
    bool settle(std::size_t index) {
        Node& node = layout_.nodes[index];
        if (node.cluster >= 0) return false;  // a bar keeps its order and its span
        const int up = above_[index], down = below_[index];
        const double gap = node_gap * 0.9;
        const double highest = up < 0 ? -1e9 : layout_.node(up).y + layout_.node(up).height + gap - node.y;
        const double lowest = down < 0 ? 1e9 : layout_.node(down).y - gap - node.height - node.y;
        double best = 0, most = straightened(index, 0);
        for (const std::size_t each : links_[index]) {
            const double step = step_of(index, layout_.links[each]);
            if (step < highest || step > lowest || std::abs(step) > 12) continue;
            const double weight = straightened(index, step);
            if (weight > most + 1e-9) most = weight, best = step;
        }
        node.y += best;
        return best != 0;
    }

    Layout& layout_;
    std::vector<std::vector<std::size_t>> links_;  // by node
    std::vector<int> above_, below_;               // neighbours in the column
};

}  // namespace

namespace {

// Lines that would cross right before the bar they land on change places on it.
void untangle_bars(Layout& layout) {
    struct Landed {
        std::size_t node;
        double beyond;  // height of what its line comes from
    };
    std::map<std::pair<int, Side>, std::vector<Landed>> bars;
    for (const Link& link : layout.links)
        for (const bool at_left : {true, false}) {
            const int index = at_left ? link.left : link.right, far = at_left ? link.right : link.left;
            const Node& node = layout.node(index);
            if (node.type != NodeType::landing || node.landings.size() != 1) continue;
            bars[{node.cluster, at_left ? Side::right : Side::left}].push_back(
                {static_cast<std::size_t>(index),
                 layout.node(far).y + (at_left ? link.right_y : link.left_y)});
        }
    for (auto& [bar, landed] : bars)
        for (std::size_t round = 0; round < landed.size(); ++round)
            for (std::size_t i = 0; i < landed.size(); ++i)
                for (std::size_t j = i + 1; j < landed.size(); ++j) {
                    Node &a = layout.nodes[landed[i].node], &b = layout.nodes[landed[j].node];
                    if (std::abs(a.height - b.height) > 0.01) continue;
                    if ((a.y - b.y) * (landed[i].beyond - landed[j].beyond) < -0.01) std::swap(a.y, b.y);
                }
}

}  // namespace

void snap(Layout& layout) {
    untangle_bars(layout);
    Snapper(layout).run();
}

}  // namespace loomward::sheet
