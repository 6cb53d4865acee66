#include "render/sheet/draw/sheet_frame.hpp"

#include <algorithm>

#include "render/sheet/draw/sheet_draw.hpp"
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

void draw_title(Canvas& canvas, const SheetModel& model, const SheetPlan& plan, int page, double top) {
    const double left = plan.frame.right - title_width, right = plan.frame.right;
    const std::string_view soft = canvas.palette().soft;
    canvas.line(left, top, left, plan.frame.bottom);
    const double fitting =
        std::min(4.4, 4.4 * (title_width - 6) / std::max(1.0, text_width(model.title, 4.4, true)));
    const bool limited = !model.part_shown.empty();
    canvas.text(left + 3, top + (limited ? 5.4 : 6.6),
                cropped(model.title, std::max(2.6, fitting), true, title_width - 5), std::max(2.6, fitting),
                true);
    canvas.text(left + 3, top + 8.7, cropped(model.part_shown, 2.1, false, title_width - 5), 2.1);
    canvas.line(left, top + 9.6, right, top + 9.6, {0.2});
    canvas.line(left, top + 18, right, top + 18, {0.2});
    const std::string percent = number(std::round(plan.scale * 100)) + " %";
    const std::pair<std::string, std::string> cells[] = {
        {"revision", model.revision.empty() ? "–" : cropped(model.revision, 2.8, true, 17)},
        {"sheet", std::to_string(page + 1) + " of " + std::to_string(plan.pages)},
        {"lettering", percent},
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
    std::string verdict = count_text(model.errors, "error") + ", " + count_text(model.warnings, "warning") +
                          ", " + count_text(model.notes, "note");
    if (model.possible > 0) verdict += ", " + std::to_string(model.possible) + " possible (?)";
    if (model.open > 0) verdict += ", " + std::to_string(model.open) + " not known";
    if (model.accepted > 0) verdict += ", " + std::to_string(model.accepted) + " accepted";
    if (model.shows_findings) canvas.text(left + 3, top + 21.3, verdict, 2.3, true);
    canvas.text(left + 3, top + 24.2, "checked under stated assumptions; local codes apply", 1.9, false,
                Anchor::start, soft);
}

std::string target_of(const ListedFinding& finding) {
    return finding.line >= 0 ? line_target(finding.line) : element_target(finding.element);
}

void heading(Canvas& canvas, double x, double top, std::string_view text) {
    canvas.text(x, top + 4, text, small_size, true, Anchor::start, canvas.palette().soft);
}

void draw_wire_samples(Canvas& canvas, double x, double top) {
    heading(canvas, x, top, "WIRE");
    const std::pair<double, Colour> samples[] = {
        {0.5, Colour::white}, {2.5, Colour::yellow}, {10, Colour::red}, {35, Colour::black}};
    double y = top + 7;
    for (const auto& [area, colour] : samples) {
        canvas.line(x, y, x + 9, y, {wire_width(area) + 0.34});
        canvas.line(x, y, x + 9, y, {wire_width(area), insulation_colour(colour)});
        canvas.text(x + 10.5, y + 0.8, number(area) + " mm² " + std::string(colour_letters(colour)),
                    list_size);
        y += 5;
    }
}

void draw_guard_samples(Canvas& canvas, double x, double top) {
    heading(canvas, x, top, "GUARDED BY");
    Line line;
    line.wire = WireId(std::size_t{0});
    line.area_mm2 = 1.5;
    line.guard = "F";
    const auto sample = [&](double y, std::string_view tint, std::string_view text) {
        const std::string path = "M" + number(x) + ' ' + number(y) + "h9";
        draw_tint(canvas, line, path, {{"F", tint}});
        draw_wire(canvas, line, path);
        canvas.text(x + 10.5, y + 0.8, text, list_size);
    };
    sample(top + 6.6, canvas.palette().tints[0], "device in the tag; + adds up");
    line.electronic = true;
    sample(top + 11.4, canvas.palette().tints[1], "electronics alone; no band: no source");
    line.electronic = false;
    line.unguarded = true;
    sample(top + 16.4, {}, "nothing: no guard, short lead");
    canvas.rectangle({x + 1.5, top + 20, x + 3.5, top + 23.6}, "none", {0.3}, 1);
    canvas.rectangle({x + 6, top + 20, x + 8, top + 23.6}, "none", {0.3, {}, "0.9 0.6"}, 1);
    canvas.text(x + 10.5, top + 22.5, "cable, bundle", list_size);
}

void draw_loading_samples(Canvas& canvas, const SheetModel& model, double x, double top) {
    const std::string what = model.shows_temperature ? "TEMPERATURE" : "LOADING";
    heading(canvas, x, top,
            model.shows_loading || model.shows_temperature
                ? cropped(what + (model.mode.empty() ? ", WORST MODE" : ", MODE " + model.mode), small_size,
                          true, 46)
                : "LINES");
    int next = 0;
    const auto row = [&](std::string_view text) {
        const double y = top + 6.6 + 3.75 * next++;
        canvas.text(x + 9, y + 0.8, text, list_size);
        return y;
    };
    if (model.shows_loading) {
        draw_gauge(canvas, x, row("55 % of its limit") - 0.45, 7, 0.55);
        draw_gauge(canvas, x, row("over its limit") - 0.45, 7, 1.12);
    }
    if (model.shows_temperature) {
        canvas.text(x, row("its conductor settles at") + 0.8, "86 °C", small_size);
        canvas.text(x, row("above what it may get") + 0.8, "97 °C", small_size, true, Anchor::start,
                    canvas.palette().error);
    }
    const double arrow = row("current flows leftwards");
    canvas.line(x + 2.1, arrow, x + 7, arrow, {0.6});
    draw_arrow(canvas, x, arrow, 0.6);
    const double bolted = row("end of a wire; bolted, no wire");
    canvas.circle(x + 1.2, bolted, 0.7, canvas.palette().paper, {0.3});
    canvas.line(x + 3.4, bolted, x + 7, bolted, {0.6});
    if (model.mode.empty()) return;
    const double pale = row("pale: no current, may be live");
    canvas.open_pale(false);
    canvas.line(x, pale, x + 7, pale, {1.1});
    canvas.close_group();
}

// The findings that have their flag on a page, those without a flag on the first.
void draw_finding(Canvas& canvas, const SheetPlan& plan, const ListedFinding& finding, double x, double y) {
    const std::optional<Spot> spot = spot_of(plan, finding);
    const std::string place = spot ? " /" + plan.square(*spot) : "";
    const double room = list_column - 7 - text_width(place, list_size);
    if (spot) canvas.open_reference({x, y, x + list_column - 1, y + row_height}, target_of(finding));
    draw_flag(canvas, x, y + 2.3, {finding.number, finding.severity});
    canvas.text(x + flag_advance(finding.number), y + 2.3,
                cropped(finding.text, list_size, false, room) + place, list_size);
    if (spot) canvas.close_reference();
}

void draw_findings(Canvas& canvas, const SheetPlan& plan, int page, double top) {
    const double left = legend_left(plan.paper), bottom = plan.frame.bottom;
    heading(canvas, left, top, plan.pages > 1 ? "FINDINGS ON THIS SHEET" : "FINDINGS");
    const std::vector<const ListedFinding*> list = findings_on(plan, page);
    if (list.empty()) {
        canvas.text(left, top + 8, "none", list_size);
        return;
    }
    const std::size_t rows = static_cast<std::size_t>((bottom - top - 5.4) / row_height);
    const std::size_t room = rows * list_columns(plan.paper);
    const std::size_t shown = list.size() <= room ? list.size() : room - 1;
    const auto at = [&](std::size_t i) {
        return Point{left + list_column * static_cast<double>(i / rows),
                     top + 5.2 + row_height * static_cast<double>(i % rows)};
    };
    for (std::size_t i = 0; i < shown; ++i) draw_finding(canvas, plan, *list[i], at(i).x, at(i).y);
    if (shown < list.size())
        canvas.text(at(shown).x, at(shown).y + 2.4, "and " + std::to_string(list.size() - shown) + " more",
                    list_size);
}

}  // namespace

void draw_frame(Canvas& canvas, const SheetPlan& plan, int page) {
    const SheetModel& model = *plan.model;
    draw_grid(canvas, plan);
    const double top = plan.field.bottom + 4;
    canvas.line(plan.frame.left, top, plan.frame.right, top);
    const double x = plan.frame.left + 3;
    const bool small = plan.paper.width < 300;
    if (!small) draw_wire_samples(canvas, x, top);
    draw_guard_samples(canvas, small ? x : x + 36, top);
    if (!small) draw_loading_samples(canvas, model, x + 92, top);
    draw_findings(canvas, plan, page, top);
    draw_title(canvas, model, plan, page, top);
}

}  // namespace loomward::sheet
