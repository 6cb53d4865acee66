#include "render/sheet/draw/sheet_frame.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/draw/sheet_samples.hpp"
#include "render/sheet/draw/symbols.hpp"
#include "render/sheet/pages/sheet_legend.hpp"
#include "render/sheet/pages/sheet_title.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

void draw_grid(Canvas& canvas, const SheetPlan& plan) {
    const Box& frame = plan.frame;
    const std::string_view soft = canvas.palette().soft;
    canvas.rectangle(frame, "none", {0.5});
    for (int i = 0; i < plan.columns; ++i) {
        const double step = frame.width() / plan.columns, x = frame.left + step * (i + 0.5);
        for (const double y : {frame.top - 1.2, frame.bottom + 3.0})
            canvas.text(x, y, std::to_string(i + 1), 2, false, Anchor::middle, soft);
        if (i == 0) continue;
        canvas.line(frame.left + step * i, frame.top - 3, frame.left + step * i, frame.top, {0.2, soft});
        canvas.line(frame.left + step * i, frame.bottom, frame.left + step * i, frame.bottom + 3,
                    {0.2, soft});
    }
    for (int i = 0; i < plan.rows; ++i) {
        const double step = frame.height() / plan.rows, y = frame.top + step * (i + 0.5);
        for (const double x : {frame.left - 2.2, frame.right + 2.2})
            canvas.text(x, y + 0.7, std::string(1, static_cast<char>('A' + i)), 2, false, Anchor::middle,
                        soft);
        if (i == 0) continue;
        canvas.line(frame.left - 3, frame.top + step * i, frame.left, frame.top + step * i, {0.2, soft});
        canvas.line(frame.right, frame.top + step * i, frame.right + 3, frame.top + step * i, {0.2, soft});
    }
}

// With errors in a filled bar, with warnings in an edged one: it does not look alike for 0 and 27.
void draw_verdict(Canvas& canvas, const SheetModel& model, const std::string& verdict, const Box& bar) {
    const Palette& palette = canvas.palette();
    std::string_view ink = palette.ink;
    if (model.errors > 0) {
        canvas.rectangle(bar, palette.error, {0});
        ink = palette.error_ink;
    } else if (model.warnings > 0) {
        canvas.rectangle(bar, palette.paper, {0.5}, 0.6);
    }
    canvas.text(bar.left + 1.8, bar.top + 2.7, verdict, 2.3, true, Anchor::start, ink);
}

void draw_field(Canvas& canvas, const TitleCell& cell, double x, double top) {
    canvas.text(x, top + 2.6, cell.name, field_name_size, false, Anchor::start, canvas.palette().soft);
    double base = top + 3.4 + field_row;
    for (const std::string& row : cell.value) {
        canvas.text(x, base, row, field_size, true);
        base += field_row;
    }
    if (cell.to_sign) canvas.line(x, base + 0.4, x + cell.width - 4, base + 0.4, {0.2});
}

void draw_title(Canvas& canvas, const SheetPlan& plan, int page, double top) {
    const double left = plan.frame.right - title_width, right = plan.frame.right;
    const TitleBlock block = title_block(plan, page);
    canvas.line(left, top, left, plan.frame.bottom);
    const auto write = [&](const std::vector<TitleText>& texts) {
        for (const TitleText& each : texts)
            canvas.text(left + 3, top + each.base, each.text, each.size, each.bold);
    };
    write(block.name);
    for (const TitleBand& band : block.bands) {
        canvas.line(left, top + band.y, right, top + band.y, {0.2});
        for (const TitleCell& cell : band.cells) {
            draw_field(canvas, cell, left + cell.x, top + band.y);
            if (&cell == &band.cells.front()) continue;
            const double x = left + cell.x - 1.7;
            canvas.line(x, top + band.y, x, top + band.y + band.height, {0.2});
        }
    }
    const double verdict_top = top + block.verdict_top;
    canvas.line(left, verdict_top, right, verdict_top, {0.2});
    if (!block.verdict.empty())
        draw_verdict(canvas, *plan.model, block.verdict,
                     {left + 1.2, verdict_top + 0.8, right - 1.2, verdict_top + 0.8 + verdict_bar});
    write(block.rest);
}

std::string target_of(const ListedFinding& finding) {
    return finding.line >= 0 ? line_target(finding.line) : element_target(finding.element);
}

void heading(Canvas& canvas, double x, double top, std::string_view text) {
    canvas.text(x, top + 4, text, small_size, true, Anchor::start, canvas.palette().soft);
}

// The square in which the flag of that number was drawn, of several the one nearest to what the finding names; of
// one that shares its place with many others, the place itself.
std::string square_of_flag(const Canvas& canvas, const SheetPlan& plan, const ListedFinding& finding,
                           int page, const Spot& spot) {
    const std::string digits = std::to_string(finding.number);
    Spot nearest = spot;
    double nearest_mm = std::numeric_limits<double>::infinity();
    for (const Mark& mark : canvas.texts()) {
        if (!mark.flag || mark.place < 0 || mark.text != digits) continue;
        const Spot here{page, (mark.box.left + mark.box.right) / 2, (mark.box.top + mark.box.bottom) / 2};
        const double away_mm = spot.page == page ? std::hypot(here.x - spot.x, here.y - spot.y) : 0;
        if (away_mm < nearest_mm) nearest = here, nearest_mm = away_mm;
    }
    return plan.square(nearest);
}

// The findings that have their flag on a page, those without a flag on the first.
void draw_finding(Canvas& canvas, const SheetPlan& plan, const ListedFinding& finding, int page,
                  const ListedPlace& where, Point at) {
    const std::optional<Spot> spot = spot_of(plan, finding);
    const std::string place = spot ? " /" + square_of_flag(canvas, plan, finding, page, *spot) : "";
    const double height = row_height * static_cast<double>(where.rows.size());
    if (spot)
        canvas.open_reference({at.x, at.y, at.x + list_column(plan.paper) - 1, at.y + height},
                              target_of(finding));
    if (finding.mark.empty())
        draw_flag(canvas, at.x, at.y + 2.3, {finding.number, finding.severity, finding.accepted});
    else
        canvas.text(at.x, at.y + 2.3, finding.mark, list_size, true);
    const double x = at.x + list_indent(finding);
    for (std::size_t i = 0; i < where.rows.size(); ++i)
        canvas.text(x, at.y + 2.3 + row_height * static_cast<double>(i),
                    where.rows[i] + (i + 1 == where.rows.size() ? place : ""), list_size);
    if (spot) canvas.close_reference();
}

void draw_findings(Canvas& canvas, const SheetPlan& plan, int page, double top) {
    const double left = legend_left(plan.paper), bottom = plan.frame.bottom;
    heading(canvas, left, top,
            plan.model->for_owner ? "TO SWITCH OFF, AND WHICH FUSE IS FOR WHAT"
            : plan.pages > 1      ? "FINDINGS ON THIS SHEET"
                                  : "FINDINGS");
    const std::vector<const ListedFinding*> list = findings_on(plan, page);
    if (list.empty()) {
        canvas.text(left, top + 8, plan.model->for_owner && plan.pages > 1 ? "on another sheet" : "none",
                    list_size);
        return;
    }
    std::vector<ListedPlace> places = list_places(list, plan, bottom - top - list_head);
    if (places.size() < list.size()) places.pop_back();
    for (std::size_t i = 0; i < places.size(); ++i)
        draw_finding(canvas, plan, *list[i], page, places[i],
                     {left + list_column(plan.paper) * static_cast<double>(places[i].column),
                      top + 5.2 + places[i].y});
    if (places.size() < list.size()) {
        const double last = places.empty() ? 0 : places.back().y + row_height * 2 + entry_gap;
        const std::size_t column = places.empty() ? 0 : places.back().column;
        canvas.text(left + list_column(plan.paper) * static_cast<double>(column),
                    std::min(top + 5.2 + last + 2.3, bottom - 1),
                    "and " + std::to_string(list.size() - places.size()) + " more", list_size);
    }
}

// Beside the heading of the findings: on which sheet it stands.
void refer_to_before_work(Canvas& canvas, const SheetPlan& plan, double top) {
    for (int page = 0; page < plan.pages; ++page) {
        if (!before_work_on(plan, page, plan.frame.bottom - top)) continue;
        const double right =
            legend_left(plan.paper) + list_column(plan.paper) * static_cast<double>(list_columns(plan.paper));
        return canvas.text(right - 3, top + 4, "BEFORE WORK: SEE SHEET " + std::to_string(page + 1),
                           small_size, true, Anchor::end, canvas.palette().soft);
    }
}

void draw_before_work(Canvas& canvas, const SheetPlan& plan, int page, double top) {
    const std::optional<BeforeWork> block = before_work_on(plan, page, plan.frame.bottom - top);
    if (!block) return refer_to_before_work(canvas, plan, top);
    heading(canvas, block->left, top + block->below, block->heading);
    for (const BeforeWorkText& each : block->texts) {
        const std::string place = each.element >= 0 ? " /" + plan.square_of_element(each.element) : "";
        canvas.text(block->left + each.x, top + block->below + each.base, each.text + place, list_size,
                    each.bold);
    }
}

}  // namespace

void draw_frame(Canvas& canvas, const SheetPlan& plan, int page) {
    const SheetModel& model = *plan.model;
    draw_grid(canvas, plan);
    const double top = plan.field.bottom + 4;
    canvas.line(plan.frame.left, top, plan.frame.right, top);
    const double x = plan.frame.left + 3;
    std::string what = model.shows_temperature ? "SIGNS; TEMPERATURE"
                       : model.shows_currents  ? "SIGNS; CURRENT"
                       : model.shows_loading   ? "SIGNS; LOADING"
                                               : "SIGNS";
    if (model.shows_temperature || model.shows_loading || model.shows_currents)
        what += model.mode.empty() ? ", WORST MODE" : ", MODE " + model.mode;
    const std::optional<BeforeWork> beside = before_work_on(plan, page, plan.frame.bottom - top);
    const double end = std::min(legend_left(plan.paper), beside ? beside->left : plan.frame.right);
    heading(canvas, x, top, cropped(what, small_size, true, end - x - 3));
    draw_samples(canvas, plan, page, x, top);
    draw_before_work(canvas, plan, page, top);
    draw_findings(canvas, plan, page, top);
    draw_title(canvas, plan, page, top);
}

}  // namespace loomward::sheet
