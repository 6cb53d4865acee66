#include "render/sheet/draw/sheet_areas.hpp"

#include <algorithm>
#include <map>

#include "render/sheet/layout/sheet_route.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

constexpr double side = 0.7, name_height = small_size * 0.73;

bool touches(const Box& a, const Box& b) {
    return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

class AreaFinder {
  public:
    explicit AreaFinder(const Layout& layout) : layout_(layout) {
        for (const Node& node : layout.nodes)
            taken_.push_back({node.x, node.y, node.x + node.width, node.y + node.height});
        std::map<int, Box> bars;  // with the name along them
        for (const Node& node : layout.nodes) {
            if (node.cluster < 0) continue;
            const double x = bar_x(layout, node.cluster);
            const auto [entry, fresh] =
                bars.try_emplace(node.cluster, Box{x - 4, node.y - 4, x + 4, node.y + node.height + 2});
            if (fresh) continue;
            entry->second.top = std::min(entry->second.top, node.y - 4);
            entry->second.bottom = std::max(entry->second.bottom, node.y + node.height + 2);
        }
        for (const auto& [bar, box] : bars) taken_.push_back(box);
        for (std::size_t i = 0; i < layout.paths.size(); ++i) {
            const Line& line = layout.line(layout.runs[i].line);
            const double half = halo_width(line.area_mm2, line.unguarded) / 2 + 0.2;
            for (std::size_t k = 0; k + 1 < layout.paths[i].size(); ++k) {
                const Point a = layout.paths[i][k], b = layout.paths[i][k + 1];
                taken_.push_back({std::min(a.x, b.x) - half, std::min(a.y, b.y) - half,
                                  std::max(a.x, b.x) + half, std::max(a.y, b.y) + half});
            }
        }
    }

    std::vector<NamedArea> found() {
        std::map<int, std::vector<int>> columns;
        for (std::size_t i = 0; i < layout_.nodes.size(); ++i)
            if (layout_.nodes[i].type == NodeType::element || layout_.nodes[i].type == NodeType::landing)
                columns[layout_.nodes[i].column].push_back(static_cast<int>(i));
        for (auto& [column, nodes] : columns) {
            std::stable_sort(nodes.begin(), nodes.end(),
                             [&](int a, int b) { return layout_.node(a).y < layout_.node(b).y; });
            std::vector<int> run;
            for (const int node : nodes) {
                if (!run.empty() && bay(node) != bay(run.front())) offer(run), run.clear();
                if (!bay(node).empty() && layout_.node(node).cluster < 0)
                    run.push_back(node);
                else if (layout_.node(node).cluster >= 0)
                    offer(run), run.clear();
            }
            offer(run);
        }
        return std::move(areas_);
    }

  private:
    const std::string& bay(int node) const { return layout_.element(layout_.node(node)).bay; }

    void offer(const std::vector<int>& run) {
        if (run.size() < 2) return;
        Box box{1e9, 1e9, -1e9, -1e9};
        for (const int index : run) {
            const Node& node = layout_.node(index);
            box.left = std::min(box.left, node.x - side);
            box.right = std::max(box.right, node.x + node.width + side);
            box.top = std::min(box.top, node.y - 0.1);
            box.bottom = std::max(box.bottom, node.y + node.height + 0.1);
        }
        const std::string& name = bay(run.front());
        const double width = text_width(name, small_size, true);
        for (const bool above : {true, false}) {
            const double base = above ? box.top - 0.5 : box.bottom + 0.5 + name_height;
            for (double x = box.left + side; x + width <= box.right - side; x += 1.5) {
                const Box text{x - 0.3, base - name_height - 0.2, x + width + 0.3, base + 0.2};
                if (text.top < layout_.top || text.bottom > layout_.bottom) break;
                if (std::any_of(taken_.begin(), taken_.end(),
                                [&](const Box& each) { return touches(each, text); }))
                    continue;
                Box whole = box;
                whole.top = std::min(whole.top, text.top - 0.4);
                whole.bottom = std::max(whole.bottom, text.bottom + 0.4);
                if (holds_stranger(whole, name)) continue;
                taken_.push_back(text);
                areas_.push_back({name, whole, {x, base}});
                return;
            }
        }
    }

    bool holds_stranger(const Box& box, const std::string& name) const {
        return std::any_of(layout_.nodes.begin(), layout_.nodes.end(), [&](const Node& node) {
            if (!touches(box, {node.x, node.y, node.x + node.width, node.y + node.height})) return false;
            if (node.type == NodeType::label || node.type == NodeType::pass)
                return node.type == NodeType::label;
            return layout_.element(node).bay != name;
        });
    }

    const Layout& layout_;
    std::vector<Box> taken_;
    std::vector<NamedArea> areas_;
};

}  // namespace

std::vector<NamedArea> find_areas(const Layout& layout) {
    return AreaFinder(layout).found();
}

}  // namespace loomward::sheet
