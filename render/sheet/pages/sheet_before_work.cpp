// Finds room for what to open before work. It must not cost the drawing any: a higher strip below it cuts
// more of the heavy wires.
#include <algorithm>

#include "render/sheet/pages/sheet_legend.hpp"
#include "render/sheet/pages/sheet_signs.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

constexpr double least_width = 44;  // mm; in less the rows become many and short
constexpr double indent = 6, head = 5.2, air = 3, rise = 2.3;

// Writes entries from top to bottom, each in a row of its own or, where room is short, one after the other.
class Writer {
  public:
    Writer(const SheetPlan& plan, double width, bool running) : width_(width), running_(running) {
        const SheetModel& model = *plan.model;
        block_.heading = cropped(
            model.before_work_on.empty() ? "BEFORE WORK ON IT" : "BEFORE WORK ON " + model.before_work_on,
            small_size, true, width);
        place_ = plan.pages > 1 ? " /99/A0" : " /A0";
        for (const ListedFinding& entry : model.before_work) write(entry);
        if (x_ > 0) end_row();
        block_.height = y_;
    }
    BeforeWork block() && { return std::move(block_); }

  private:
    void end_row() {
        x_ = 0;
        y_ += row_height + entry_gap;
    }
    void write(const ListedFinding& entry) {
        const double mark = running_ ? text_width(entry.mark, list_size, true) + 1 : indent;
        const double place = entry.element < 0 ? 0 : text_width(place_, list_size);
        const double room = width_ - mark - place, wide = text_width(entry.text, list_size);
        const bool beside = running_ && entry.element >= 0 && wide <= room;
        if (x_ > 0 && (!beside || x_ + mark + wide + place > width_)) end_row();
        block_.texts.push_back({x_, y_ + rise, entry.mark, true, -1});
        if (beside) {
            block_.texts.push_back({x_ + mark, y_ + rise, entry.text, false, entry.element});
            x_ += mark + wide + place + air;
            return;
        }
        for (std::string& row : in_rows(entry.text, list_size, false, room)) {
            block_.texts.push_back({mark, y_ + rise, std::move(row), false, -1});
            y_ += row_height;
        }
        block_.texts.back().element = entry.element;
        y_ += entry_gap;
    }

    BeforeWork block_;
    std::string place_;  // as wide as a reference gets
    double width_;
    bool running_;
    double x_ = 0, y_ = head;
};

std::optional<BeforeWork> placed(const SheetPlan& plan, double left, double right, double below,
                                 double height) {
    if (right - left < least_width) return std::nullopt;
    for (const bool running : {false, true}) {
        BeforeWork block = Writer(plan, right - left, running).block();
        if (below + block.height > height) continue;
        block.left = left;
        block.below = below;
        return block;
    }
    return std::nullopt;
}

// Right of the signs.
std::optional<BeforeWork> beside_signs(const SheetPlan& plan, int page, double height) {
    // The heading of the signs is wider than one column of them.
    const std::size_t used = std::max<std::size_t>(2, sign_columns_on(plan, page, height).used);
    const double left = plan.frame.left + 3 + sign_column(plan.paper) * static_cast<double>(used);
    return placed(plan, left, legend_left(plan.paper) - air, 0, height);
}

// Below the last of the findings, or in the first column that they leave empty.
std::optional<BeforeWork> after_findings(const SheetPlan& plan, int page, double height) {
    const std::vector<const ListedFinding*> list = findings_on(plan, page);
    const std::vector<ListedPlace> places = list_places(list, plan, height - list_head);
    if (places.size() < list.size()) return std::nullopt;
    const auto in_column = [&](std::size_t column, double below) {
        const double left = legend_left(plan.paper) + list_column(plan.paper) * static_cast<double>(column);
        return placed(plan, left, left + list_column(plan.paper) - air, below, height);
    };
    const std::size_t last = places.empty() ? 0 : places.back().column;
    const double used = places.empty()
                            ? list_head + row_height + entry_gap
                            : list_head + places.back().y +
                                  row_height * static_cast<double>(places.back().rows.size()) + entry_gap;
    for (std::size_t column = last + 1; column < list_columns(plan.paper); ++column)
        if (auto block = in_column(column, 0)) return block;
    return in_column(last, used);
}

}  // namespace

std::optional<BeforeWork> before_work_on(const SheetPlan& plan, int page, double height) {
    if (plan.model->before_work.empty()) return std::nullopt;
    if (auto block = beside_signs(plan, page, height)) return block;
    return after_findings(plan, page, height);
}

}  // namespace loomward::sheet
