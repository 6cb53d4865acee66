#include "render/sheet/draw/sheet_frame.hpp"

#include <algorithm>

#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/draw/sheet_samples.hpp"
#include "render/sheet/draw/symbols.hpp"
#include "render/sheet/pages/sheet_legend.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

std::string count_text(std::size_t count, std::string_view word) {
    return std::to_string(count) + ' ' + std::string(word) + (count == 1 ? "" : "s");
}

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

std::string verdict_of(const SheetModel& model) {
    std::string verdict = count_text(model.errors, "error") + ", " + count_text(model.warnings, "warning") +
                          ", " + count_text(model.notes, "note");
    if (model.possible > 0) verdict += ", " + std::to_string(model.possible) + " possible (?)";
    if (model.accepted > 0) verdict += ", " + std::to_string(model.accepted) + " accepted";
    return verdict;
}

// What the figures rest on: the mode, modes that were not solved, values nobody wrote down.
std::string basis_of(const SheetModel& model) {
    std::string basis = model.mode.empty() ? "worst of all modes" : "mode " + model.mode;
    if (model.modes_solved < model.modes && model.mode.empty())
        basis +=
            ", only " + std::to_string(model.modes_solved) + " of " + std::to_string(model.modes) + " solved";
    if (model.unknown_values > 0) basis += ", " + count_text(model.unknown_values, "value") + " not known";
    basis += model.mode.empty() ? "; contacts at rest" : "; contacts as in it";
    if (!model.mode.empty()) basis += "; pale: no current in this mode, may be live";
    return basis;
}

// With errors in a filled bar, with warnings in an edged one: it does not look alike for 0 and 27.
void draw_verdict(Canvas& canvas, const SheetModel& model, double left, double right, double top) {
    const Palette& palette = canvas.palette();
    // With errors in it no machine is handed over: then the owner's sheet says so in place of its cautions.
    if (model.for_owner && !model.withheld) {
        canvas.text(left + 3, top + 3.5, "Switch off, and take the plug out, before a cover is opened.", 2.1,
                    true);
        canvas.text(left + 3, top + 6.7, "Capacitors keep their voltage for a while; measure first.", 2.0);
        canvas.text(left + 3, top + 9.7, "New fuses only as listed; local codes apply, ask your workshop.",
                    2.0);
        return;
    }
    std::string_view ink = palette.ink;
    std::string verdict = verdict_of(model);
    if (model.for_owner) verdict = "NOT TO BE HANDED OVER: " + verdict;
    const Box bar{left + 1.2, top + 0.8, right - 1.2, top + 4.6};
    if (model.errors > 0) {
        canvas.rectangle(bar, palette.error, {0});
        ink = palette.error_ink;
    } else if (model.warnings > 0) {
        canvas.rectangle(bar, palette.paper, {0.5}, 0.6);
    }
    canvas.text(left + 3, top + 3.5, cropped(verdict, 2.3, true, title_width - 6), 2.3, true, Anchor::start,
                ink);
    canvas.text(left + 3, top + 7.0, cropped(basis_of(model), 2.0, false, title_width - 5), 2.0);
    canvas.text(left + 3, top + 10.0, cropped(model.surroundings, 2.0, false, title_width - 5), 2.0);
    canvas.text(left + 3, top + 13.0, "checked under stated assumptions; local codes apply", 2.0, false,
                Anchor::start, palette.soft);
}

// The whole name, in two rows of smaller letters where it is long.
void draw_name(Canvas& canvas, const std::string& name, double x, double top, double height) {
    const double room = title_width - 6, one_row = room / std::max(1.0, text_width(name, 1, true));
    if (one_row >= 2.8 || height < 8) {
        const double size = std::min(4.4, std::max(2.6, one_row));
        canvas.text(x, top + height * 0.5 + size * 0.45, cropped(name, size, true, room), size, true);
        return;
    }
    const double size = 2.9;
    double base = top + 3.9;
    // Widths are those of the plain letters; bold ones are a tenth wider.
    for (const std::string& row : wrapped(name, size, room / 1.12, 2)) {
        canvas.text(x, base, row, size, true);
        base += 3.9;
    }
}

void draw_title(Canvas& canvas, const SheetModel& model, const SheetPlan& plan, int page, double top) {
    const double left = plan.frame.right - title_width, right = plan.frame.right;
    const std::string_view soft = canvas.palette().soft;
    canvas.line(left, top, left, plan.frame.bottom);
    const bool limited = !model.part_shown.empty();
    draw_name(canvas, model.title, left + 3, top, limited ? 5.6 : 9);
    canvas.text(left + 3, top + 8.7, cropped(model.part_shown, 2.1, false, title_width - 5), 2.1);
    canvas.line(left, top + 9.6, right, top + 9.6, {0.2});
    canvas.line(left, top + 18, right, top + 18, {0.2});
    const std::string percent = number(std::round(plan.scale * 100)) + " %";
    const std::pair<std::string, std::string> cells[] = {
        {"revision", model.revision.empty() ? "–" : cropped(model.revision, 2.8, true, 17)},
        {"sheet", std::to_string(page + 1) + " of " + std::to_string(plan.pages)},
        {"scale", percent},
        {"wires", model.wires_shown == model.wires
                      ? std::to_string(model.wires)
                      : std::to_string(model.wires_shown) + " of " + std::to_string(model.wires)}};
    double x = left + 3;
    for (const auto& [name, value] : cells) {
        canvas.text(x, top + 12.4, name, 1.8, false, Anchor::start, soft);
        canvas.text(x, top + 16.6, value, 2.8, true);
        if (x > left + 4) canvas.line(x - 2.2, top + 9.6, x - 2.2, top + 18, {0.2});
        x += 20;
    }
    if (model.shows_findings)
        draw_verdict(canvas, model, left, right, top + 18);
    else
        canvas.text(left + 3, top + 27.9, "checked under stated assumptions; local codes apply", 2.0, false,
                    Anchor::start, canvas.palette().soft);
}

std::string target_of(const ListedFinding& finding) {
    return finding.line >= 0 ? line_target(finding.line) : element_target(finding.element);
}

void heading(Canvas& canvas, double x, double top, std::string_view text) {
    canvas.text(x, top + 4, text, small_size, true, Anchor::start, canvas.palette().soft);
}

// The square in which the flag of that number was drawn; of one that shares its place with many others, the
// place itself.
std::string square_of_flag(const Canvas& canvas, const SheetPlan& plan, const ListedFinding& finding,
                           int page, const Spot& spot) {
    const std::string digits = std::to_string(finding.number);
    for (const Mark& mark : canvas.texts())
        if (mark.flag && mark.place >= 0 && mark.text == digits)
            return plan.square(
                {page, (mark.box.left + mark.box.right) / 2, (mark.box.top + mark.box.bottom) / 2});
    return plan.square(spot);
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
    heading(canvas, x, top, cropped(what, small_size, true, legend_left(plan.paper) - x - 3));
    draw_samples(canvas, plan, page, x, top);
    draw_findings(canvas, plan, page, top);
    draw_title(canvas, model, plan, page, top);
}

}  // namespace loomward::sheet
