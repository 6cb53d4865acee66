#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "render/sheet/layout/sheet_place.hpp"
#include "render/sheet/layout/sheet_stacks.hpp"

namespace loomward::sheet {
namespace {

constexpr double no_step = 0.05;

class Snapper {
  public:
    explicit Snapper(Layout& layout)
        : layout_(layout),
          links_(layout.nodes.size()),
          stacks_(stacks_of(layout)),
          guests_(layout.nodes.size()) {
        for (std::size_t i = 0; i < layout.links.size(); ++i) {
            links_[static_cast<std::size_t>(layout.body_of(layout.links[i].left))].push_back(i);
            links_[static_cast<std::size_t>(layout.body_of(layout.links[i].right))].push_back(i);
        }
        for (std::size_t i = 0; i < layout.nodes.size(); ++i)
            if (const int carrier = layout.nodes[i].carrier; carrier >= 0)
                guests_[static_cast<std::size_t>(carrier)].push_back(static_cast<int>(i));
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
    // How far the node would have to move for that line to run straight into it.
    double step_of(std::size_t node, const Link& link) const {
        const double left = layout_.node(link.left).y + link.left_y;
        const double right = layout_.node(link.right).y + link.right_y;
        return layout_.body_of(link.left) == static_cast<int>(node) ? right - left : left - right;
    }
    // The steps of all lines of a node in rising order, with the weight of those before each.
    void list_steps(std::size_t node) {
        steps_.clear();
        for (const std::size_t each : links_[node]) {
            const Link& link = layout_.links[each];
            steps_.push_back({step_of(node, link), 1 + wire_width(layout_.line(link.line).area_mm2)});
        }
        std::sort(steps_.begin(), steps_.end(),
                  [](const Step& a, const Step& b) { return a.step_mm < b.step_mm; });
        before_.assign(1, 0);
        for (const Step& step : steps_) before_.push_back(before_.back() + step.weight);
    }
    // The weight of all lines that this step would make straight.
    double straightened(double step_mm) const {
        const auto first =
            std::upper_bound(steps_.begin(), steps_.end(), step_mm - no_step,
                             [](double value, const Step& step) { return value < step.step_mm; });
        const auto last =
            std::lower_bound(first, steps_.end(), step_mm + no_step,
                             [](const Step& step, double value) { return step.step_mm < value; });
        return before_[static_cast<std::size_t>(last - steps_.begin())] -
               before_[static_cast<std::size_t>(first - steps_.begin())];
    }
    bool settle(std::size_t index) {
        Node& node = layout_.nodes[index];
        if (node.cluster >= 0 || node.carrier >= 0) return false;  // a bar keeps its order and its span
        const int up = stacks_.above[index], down = stacks_.below[index];
        const double gap = node_gap * 0.9;
        const double highest = up < 0 ? -1e9 : bottom(layout_.node(up)) + gap - top(node);
        const double lowest = down < 0 ? 1e9 : top(layout_.node(down)) - gap - bottom(node);
        list_steps(index);
        double best = 0, most = straightened(0);
        for (const std::size_t each : links_[index]) {
            const double step = step_of(index, layout_.links[each]);
            if (step < highest || step > lowest || std::abs(step) > 12) continue;
            const double weight = straightened(step);
            if (weight > most + 1e-9) most = weight, best = step;
        }
        node.y += best;
        for (const int guest : guests_[index]) layout_.node(guest).y += best;
        return best != 0;
    }
    static double top(const Node& node) { return node.y - node.pad_top; }
    static double bottom(const Node& node) { return node.y + node.height + node.pad_bottom; }

    struct Step {
        double step_mm = 0;
        double weight = 0;
    };
    std::vector<Step> steps_;     // of the node that is being settled
    std::vector<double> before_;  // one more than steps_
    Layout& layout_;
    std::vector<std::vector<std::size_t>> links_;  // by node
    const Stacks stacks_;
    std::vector<std::vector<int>> guests_;  // by node
};

}  // namespace

namespace {

long hundredths(double mm) {
    return std::lround(mm * 100);
}

// Lines that would cross right before the bar they land on change places on it.
void untangle_bars(Layout& layout) {
    struct Landed {
        std::size_t node;
        double beyond;  // height of what its line comes from
    };
    // Landings of one height may change places with each other.
    std::map<std::tuple<int, Side, long>, std::vector<Landed>> bars;
    for (const Link& link : layout.links)
        for (const bool at_left : {true, false}) {
            const int index = at_left ? link.left : link.right, far = at_left ? link.right : link.left;
            const Node& node = layout.node(index);
            if (node.type != NodeType::landing || node.landings.size() != 1) continue;
            bars[{node.cluster, at_left ? Side::right : Side::left, hundredths(node.height)}].push_back(
                {static_cast<std::size_t>(index),
                 layout.node(far).y + (at_left ? link.right_y : link.left_y)});
        }
    for (auto& [bar, landed] : bars) {
        std::stable_sort(landed.begin(), landed.end(), [&](const Landed& a, const Landed& b) {
            return layout.nodes[a.node].y < layout.nodes[b.node].y;
        });
        std::vector<double> places;
        for (const Landed& each : landed) places.push_back(layout.nodes[each.node].y);
        std::stable_sort(landed.begin(), landed.end(), [](const Landed& a, const Landed& b) {
            return hundredths(a.beyond) < hundredths(b.beyond);
        });
        for (std::size_t i = 0; i < landed.size(); ++i) layout.nodes[landed[i].node].y = places[i];
    }
}

// A wire that reaches its device from behind passes under it: such a device stands at the foot of its bar, so
// that the wire passes below the bar and not across it.
void lower_on_bars(Layout& layout) {
    std::map<int, std::vector<std::size_t>> bars;
    for (std::size_t i = 0; i < layout.nodes.size(); ++i)
        if (layout.nodes[i].cluster >= 0) bars[layout.nodes[i].cluster].push_back(i);
    for (auto& [bar, members] : bars) {
        const auto passes_under = [&](std::size_t i) { return !layout.nodes[i].unders.empty(); };
        if (std::none_of(members.begin(), members.end(), passes_under)) continue;
        std::stable_sort(members.begin(), members.end(),
                         [&](std::size_t a, std::size_t b) { return layout.nodes[a].y < layout.nodes[b].y; });
        std::vector<double> gaps;
        for (std::size_t i = 1; i < members.size(); ++i) {
            const Node& above = layout.nodes[members[i - 1]];
            gaps.push_back(layout.nodes[members[i]].y - above.y - above.height);
        }
        double y = layout.nodes[members.front()].y;
        std::stable_partition(members.begin(), members.end(),
                              [&](std::size_t i) { return !passes_under(i); });
        for (std::size_t i = 0; i < members.size(); ++i) {
            layout.nodes[members[i]].y = y;
            y += layout.nodes[members[i]].height + (i < gaps.size() ? gaps[i] : 0);
        }
    }
}

}  // namespace

void snap(Layout& layout) {
    lower_on_bars(layout);
    untangle_bars(layout);
    Snapper(layout).run();
}

}  // namespace loomward::sheet
