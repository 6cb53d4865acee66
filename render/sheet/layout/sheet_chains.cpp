// The nodes between the ends of a line: its label in one gap, a passage in every other column.
#include <algorithm>
#include <cmath>
#include <limits>

#include "render/sheet/layout/sheet_node_maker.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {

int NodeMaker::add_passage(int position, int column, bool label) {
    const Line& each = line(position);
    Node node;
    node.type = label ? NodeType::label : NodeType::pass;
    node.line = strip_.lines[static_cast<std::size_t>(position)];
    node.column = column;
    if (label) {
        const LabelSize dims =
            label_size(each, layout_.arrow_leftward(layout_.runs[static_cast<std::size_t>(position)]));
        node.width = dims.width;
        node.row = dims.above;
        node.height = dims.above + dims.below;
    } else {
        node.width = 0.2;
        node.height = wire_width(each.area_mm2) + (each.unguarded ? 3.0 : 2.3);
        node.row = node.height / 2;
    }
    push(std::move(node));
    return static_cast<int>(layout_.nodes.size()) - 1;
}

void NodeMaker::add_link(Run& r, int left, double left_y, int right, double right_y) {
    r.links.push_back(static_cast<int>(layout_.links.size()));
    layout_.links.push_back({r.line, left, right, left_y, right_y});
}

// The label sits in the least used gap between the ends, leftmost on a tie.
void NodeMaker::add_chain(int position, std::map<int, int>& used) {
    Run& r = layout_.runs[static_cast<std::size_t>(position)];
    const Spot from = spots_[slot({position, true})], to = spots_[slot({position, false})];
    const Spot left = r.left_is_from ? from : to, right = r.left_is_from ? to : from;
    const int a = layout_.node(left.node).column, b = layout_.node(right.node).column;
    const bool labelled = line(position).is_labelled();
    r.nodes.push_back(left.node);
    if (r.turns) {
        const int column = r.turn_side == Side::right ? std::max(a, b) + 1 : std::min(a, b) - 1;
        const int label = add_passage(position, column, labelled),
                  back = add_passage(position, column, false);
        const double label_y = layout_.node(label).row, back_y = layout_.node(back).row;
        if (r.turn_side == Side::right) {
            add_link(r, left.node, left.y, label, label_y);
            add_link(r, right.node, right.y, back, back_y);
        } else {
            add_link(r, label, label_y, left.node, left.y);
            add_link(r, back, back_y, right.node, right.y);
        }
        r.nodes.insert(r.nodes.end(), {label, back, right.node});
        r.label = labelled ? label : -1;
        return;
    }
    int best = a + 1;
    for (int gap = a + 1; gap < b; gap += 2)
        if (used[gap] < used[best]) best = gap;
    if (b - a > 2) ++used[best];
    Spot before = left;
    for (int column = a + 1; column < b; ++column) {
        const bool here = labelled && column == best;
        const int node = add_passage(position, column, here);
        if (here) r.label = node;
        add_link(r, before.node, before.y, node, layout_.node(node).row);
        before = {node, layout_.node(node).row};
        r.nodes.push_back(node);
    }
    add_link(r, before.node, before.y, right.node, right.y);
    r.nodes.push_back(right.node);
}

void NodeMaker::add_chains() {
    std::map<int, int> used;
    for (const Run& r : layout_.runs) {
        const Line& each = model_.lines[static_cast<std::size_t>(r.line)];
        const int a = columns_.of_element[static_cast<std::size_t>(each.from.element)],
                  b = columns_.of_element[static_cast<std::size_t>(each.to.element)];
        if (std::abs(a - b) == 2) ++used[std::min(a, b) + 1];
    }
    for (std::size_t i = 0; i < strip_.lines.size(); ++i) add_chain(static_cast<int>(i), used);
}

}  // namespace loomward::sheet
