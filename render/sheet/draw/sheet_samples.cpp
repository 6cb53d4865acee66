#include "render/sheet/draw/sheet_samples.hpp"

#include <algorithm>

#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/draw/symbols.hpp"
#include "render/sheet/pages/sheet_legend.hpp"
#include "render/sheet/pages/sheet_signs.hpp"

namespace loomward::sheet {
namespace {

constexpr double sample = 7, text_at = 9;

// A wire of 1.5 mm2 as it is drawn, with a guard of its own tint.
void draw_sample_wire(Canvas& canvas, Line line, double x, double y, double length, std::size_t tint) {
    line.wire = WireId(std::size_t{0});
    const std::string path = "M" + number(x) + ' ' + number(y) + "h" + number(length);
    draw_tint(canvas, line, path, {{"F", canvas.palette().tints[tint]}});
    draw_wire(canvas, line, path);
}

void draw_guard(Canvas& canvas, Sign sign, double x, double y) {
    Line line;
    line.colour = Colour::grey;
    line.unguarded = sign == Sign::unguarded || sign == Sign::short_lead;
    line.short_lead = sign == Sign::short_lead;
    line.electronic = sign == Sign::electronic;
    line.area_mm2 = 0.5;
    if (!line.unguarded) line.guard = "F";
    draw_sample_wire(canvas, line, x, y, sample, line.electronic ? 1 : 0);
}

void draw_sign(Canvas& canvas, const SignRow& row, double x, double y) {
    const Palette& palette = canvas.palette();
    switch (row.sign) {
        case Sign::colours:
            for (const Colour colour : row.colours) {
                Line line;
                line.colour = colour;
                line.area_mm2 = 2.5;
                draw_sample_wire(canvas, line, x, y, 3.4, 0);
                canvas.text(x + 3.9, y + 0.75, colour_letters(colour), list_size);
                x += 7.7;
            }
            return;
        case Sign::all_guards:
            return canvas.text(x, y + 0.75, row.text, list_size);
        case Sign::unstated: {
            Line line;
            line.area_mm2 = 2.5;
            return draw_sample_wire(canvas, line, x, y, sample, 0);
        }
        case Sign::guarded:
        case Sign::electronic:
        case Sign::unguarded:
        case Sign::short_lead:
            return draw_guard(canvas, row.sign, x, y);
        case Sign::cable:
        case Sign::bundle:
            return canvas.rectangle({x + 2.5, y - 1.5, x + 4.5, y + 1.5}, "none",
                                    {0.3, {}, row.sign == Sign::cable ? "" : "0.9 0.6"}, 1);
        case Sign::loading:
            return draw_gauge(canvas, x, y - 0.45, sample - 0.5, 0.55);
        case Sign::overload:
            return draw_gauge(canvas, x, y - 0.45, sample - 0.5, 1.12);
        case Sign::temperature:
            return canvas.text(x, y + 0.75, "86 °C", list_size);
        case Sign::too_hot:
            return canvas.text(x, y + 0.75, "97 °C", list_size, true, Anchor::start, palette.error);
        case Sign::current:
            return canvas.text(x, y + 0.75, "9 of 16", list_size);
        case Sign::too_much:
            return canvas.text(x, y + 0.75, "19 of 16", list_size, true, Anchor::start, palette.error);
        case Sign::leftward:
            canvas.line(x + 2.1, y, x + sample, y, {0.6});
            return draw_arrow(canvas, x, y, 0.6);
        case Sign::wire_end:
            canvas.line(x + 1.5, y, x + sample, y, {0.6});
            return canvas.circle(x + 1.2, y, 0.7, palette.paper, {0.3});
        case Sign::joint:
            return canvas.line(x + 2, y, x + 5, y, {0.9});
        case Sign::goes_on:
            return canvas.path("M" + number(x + 0.4) + ' ' + number(y - 1.2) + "h4.6l1.2 1.2l-1.2 1.2h-4.6z",
                               {0.3}, palette.paper);
        case Sign::accepted:
            return canvas.path("M" + number(x + 0.4) + ' ' + number(y - 1.2) + "h3.4l1 1.2l-1 1.2h-3.4z",
                               {0.3, {}, "0.7 0.5"}, palette.paper);
        case Sign::possible:
            return canvas.text(x + 3, y + 0.8, "?", 2.3, true, Anchor::middle);
        case Sign::pale:
            canvas.open_pale(false);
            canvas.line(x, y, x + sample, y, {1.1});
            return canvas.close_group();
    }
}

}  // namespace

void draw_samples(Canvas& canvas, const SheetPlan& plan, int page, double x, double top) {
    const std::vector<SignRow> rows = signs_on(plan, page);
    const double width = sign_column(plan.paper);
    const std::size_t lines = sign_columns_on(plan, page, plan.frame.bottom - top).rows;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const double left = x + width * static_cast<double>(i / lines);
        const double y = top + list_head + 1.6 + sign_row * static_cast<double>(i % lines);
        draw_sign(canvas, rows[i], left, y);
        if (!rows[i].text.empty() && rows[i].sign != Sign::all_guards)
            canvas.text(left + text_at, y + 0.75, rows[i].text, list_size);
    }
}

}  // namespace loomward::sheet
