#include "render/sheet.hpp"

#include "render/sheet_draw.hpp"
#include "render/sheet_frame.hpp"
#include "render/svg_font.hpp"

namespace loomward {
namespace {

using namespace sheet;

std::string head(const SheetModel& model, const Page& page, const Palette& palette) {
    const std::string width = number(page.paper.width), height = number(page.paper.height);
    std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + width + "mm\" height=\"" +
                      height + "mm\" viewBox=\"0 0 " + width + ' ' + height + "\" font-family=\"" +
                      std::string(font_family) + "\" role=\"img\">\n";
    out += "<title>" + escaped(model.title) + "</title>\n<desc>Wiring of " + escaped(model.title) + ": " +
           std::to_string(model.wires) + " wires, " + std::to_string(model.errors) + " errors, " +
           std::to_string(model.warnings) + " warnings, " + std::to_string(model.notes) +
           " notes. Current flows from left to right unless an arrow head says otherwise.</desc>\n";
    out += "<rect width=\"100%\" height=\"100%\" fill=\"" + std::string(palette.paper) + "\"/>\n";
    return out;
}

void draw_placed(Canvas& canvas, const SheetModel& model, const Page& page, const PlacedStrip& strip,
                 const Tints& tints) {
    const double k = page.scale;
    canvas.text(strip.x, strip.y - 2.0 * k, strip.caption, 2.7 * k, true);
    canvas.raw("<g transform=\"translate(" + number(strip.x) + ' ' + number(strip.y) + ") scale(" +
               std::to_string(k) + ") translate(0 " + number(-strip.layout.top) + ")\">\n");
    if (strip.strip < 0)
        draw_unwired(canvas, model, strip.width);
    else
        draw_strip(canvas, strip.layout, tints,
                   [&](int element) { return square_of_element(page, element); });
    canvas.close_group();
}

}  // namespace

std::string sheet_svg(const Results& results, const SheetOptions& options) {
    const Palette& palette = palette_of(options.theme);
    const Page page = compose(make_model(results), options);
    const SheetModel& model = *page.model;
    const Tints tints = choose_tints(model, palette);
    Canvas canvas(palette);
    canvas.raw(head(model, page, palette));
    for (const PlacedStrip& strip : page.strips) draw_placed(canvas, model, page, strip, tints);
    draw_frame(canvas, page);
    canvas.raw("</svg>\n");
    return canvas.markup();
}

}  // namespace loomward
