// A step of less than a millimetre looks like a slip of the pen. What hangs together by straight lines is
// moved as one until the step is gone; where nothing may move that far, until it is a step that is meant.
#include <algorithm>
#include <cmath>
#include <vector>

#include "render/sheet/layout/sheet_place.hpp"
#include "render/sheet/layout/sheet_stacks.hpp"

namespace loomward::sheet {
namespace {

constexpr double straight = 0.05;    // drawn without a step
constexpr double least_step = 1.25;  // 1 mm on paper, whatever the scale
constexpr double least_gap = 0.1;    // between neighbours of a column
constexpr int rounds = 4;

class Leveller {
  public:
    Leveller(Layout& layout, bool may_grow)
        : layout_(layout), links_(layout.nodes.size()), stacks_(stacks_of(layout)) {
        for (std::size_t i = 0; i < layout.links.size(); ++i)
            for (const int end : {layout.links[i].left, layout.links[i].right})
                links_[static_cast<std::size_t>(layout.body_of(end))].push_back(i);
        if (may_grow) return;
        highest_ = 1e9, lowest_ = -1e9;
        for (const Node& node : layout.nodes) {
            highest_ = std::min(highest_, top(node));
            lowest_ = std::max(lowest_, bottom(node));
        }
    }

    // One step alone, if it is one that looks like a slip.
    bool run_at(std::size_t link) {
        const bool moved = link < layout_.links.size() && is_kink(step_of(link)) && mend(link);
        if (moved) layout_.move_guests();
        return moved;
    }

    bool run() {
        bool any = false;
        for (int round = 0; round < rounds; ++round) {
            bool moved = false;
            for (std::size_t i = 0; i < layout_.links.size(); ++i)
                if (is_kink(step_of(i))) moved = mend(i) || moved;
            if (!moved) break;
            any = true;
        }
        layout_.move_guests();
        return any;
    }

  private:
    double height_of(int node, double y) const {
        const Node& each = layout_.node(node);
        const Node& body = layout_.node(layout_.body_of(node));
        return each.carrier < 0 ? each.y + y : body.y + each.carrier_dy + y;
    }
    double step_of(std::size_t link) const {
        const Link& each = layout_.links[link];
        return height_of(each.right, each.right_y) - height_of(each.left, each.left_y);
    }
    static bool is_kink(double step_mm) {
        return std::abs(step_mm) >= straight && std::abs(step_mm) < least_step;
    }

    // All bodies that have to move with one: straight lines join them to it, or the move would give a line
    // between them a kink; with `pushing` also what stands in their way. Whether `other` is not among them.
    bool gather(int from, int other, double by_mm, bool pushing) {
        group_.assign(1, from);
        inside_.assign(layout_.nodes.size(), false);
        inside_[static_cast<std::size_t>(from)] = true;
        for (std::size_t head = 0; head < group_.size(); ++head) {
            if (const int next = pushing ? in_the_way(group_[head], by_mm) : -1; next >= 0) add(next);
            for (const std::size_t link : links_[static_cast<std::size_t>(group_[head])]) {
                const Link& each = layout_.links[link];
                const int left = layout_.body_of(each.left), right = layout_.body_of(each.right);
                const bool mine_is_right = right == group_[head];
                const int body = mine_is_right ? left : right;
                const bool meant = (group_[head] == from && body == other);
                if (inside_[static_cast<std::size_t>(body)] || meant) continue;
                const double now = step_of(link), then = now + (mine_is_right ? by_mm : -by_mm);
                if (std::abs(now) >= straight && (is_kink(now) || !is_kink(then))) continue;
                add(body);
            }
        }
        return !inside_[static_cast<std::size_t>(other)];
    }

    void add(int body) {
        inside_[static_cast<std::size_t>(body)] = true;
        group_.push_back(body);
    }

    // The neighbour in its column that leaves a body no room to move; -1: none outside the group.
    int in_the_way(int index, double by_mm) const {
        const int next = (by_mm < 0 ? stacks_.above : stacks_.below)[static_cast<std::size_t>(index)];
        if (next < 0 || inside_[static_cast<std::size_t>(next)]) return -1;
        const Node &moved = layout_.node(index), &fixed = layout_.node(next);
        const double gap = by_mm < 0 ? top(moved) - bottom(fixed) : top(fixed) - bottom(moved);
        return gap - std::abs(by_mm) < least_gap ? next : -1;
    }

    // Higher or lower than the strip is now: it might not fit its page any more.
    bool outgrows(const Node& node, double by_mm) const {
        return top(node) + by_mm < highest_ - 1e-6 || bottom(node) + by_mm > lowest_ + 1e-6;
    }

    bool move(int from, int other, double by_mm, bool pushing) {
        if (!gather(from, other, by_mm, pushing)) return false;
        for (const int index : group_)
            if (in_the_way(index, by_mm) >= 0 || outgrows(layout_.node(index), by_mm)) return false;
        for (const int index : group_) layout_.node(index).y += by_mm;
        return true;
    }

    bool mend(std::size_t link) {
        const Link& each = layout_.links[link];
        const int left = layout_.body_of(each.left), right = layout_.body_of(each.right);
        const double step = step_of(link), wider = step > 0 ? least_step - step : -least_step - step;
        if (move(left, right, step, false) || move(right, left, -step, false) ||
            shift_pin(link, true, step) || shift_pin(link, false, -step))
            return true;
        for (const bool pushing : {false, true})
            if ((pushing && (move(left, right, step, true) || move(right, left, -step, true))) ||
                move(right, left, wider, pushing) || move(left, right, -wider, pushing))
                return true;
        return false;
    }

    // The pin of a box at one end of a line, moved along its face with all that is drawn at it. Only one that
    // has no other line, and only as far as its neighbours leave room.
    bool shift_pin(std::size_t link, bool at_left, double by_mm) {
        Link& each = layout_.links[link];
        Node& node = layout_.node(at_left ? each.left : each.right);
        double& y = at_left ? each.left_y : each.right_y;
        const Side face = at_left ? Side::right : Side::left;
        if (node.type != NodeType::element || layout_.element(node).form != Form::box || has_guests(node))
            return false;
        PinRow* row = nullptr;
        for (PinRow& other : node.pin_rows)
            if (other.side == face && std::abs(other.top - y) < 0.01) row = &other;
        if (!row || row->bottom - row->top > 0.01) return false;
        const double there = row->top + by_mm;
        bool has_above = false;
        for (const PinRow& other : node.pin_rows) {
            if (&other == row || other.side != face) continue;
            has_above = has_above || other.top < row->top;
            const double gap = other.top < row->top ? there - other.bottom : other.top - there;
            if (gap < std::max(2.8, row->end + other.end + 1)) return false;
        }
        if ((by_mm < 0 && !has_above) || there + row->end + 0.5 > node.height) return false;
        for (Landing& landing : node.landings)
            if (landing.side == face && std::abs(landing.y - y) < 0.01) landing.y = there;
        row->top = row->bottom = y = there;
        return true;
    }
    bool has_guests(const Node& node) const {
        return std::any_of(layout_.nodes.begin(), layout_.nodes.end(), [&](const Node& other) {
            return other.carrier >= 0 && &layout_.node(other.carrier) == &node;
        });
    }

    static double top(const Node& node) { return node.y - node.pad_top; }
    static double bottom(const Node& node) { return node.y + node.height + node.pad_bottom; }

    Layout& layout_;
    std::vector<std::vector<std::size_t>> links_;  // by body
    const Stacks stacks_;
    std::vector<int> group_;  // bodies that move as one
    std::vector<bool> inside_;
    double highest_ = -1e9, lowest_ = 1e9;  // what no node may pass
};

}  // namespace

bool level_out(Layout& layout, bool may_grow) {
    return Leveller(layout, may_grow).run();
}

bool level_link(Layout& layout, std::size_t link) {
    return Leveller(layout, true).run_at(link);
}

}  // namespace loomward::sheet
