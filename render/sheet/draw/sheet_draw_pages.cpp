// The pages of a plan, one canvas each.
#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/draw/sheet_frame.hpp"

namespace loomward::sheet {
namespace {

void draw_placed(Canvas& canvas, const SheetPlan& plan, std::size_t index, const Tints& tints) {
    const PlacedStrip& strip = plan.strips[index];
    const double k = plan.scale;
    canvas.text(strip.x, strip.y - 2.0 * k, strip.caption, 2.7 * k, true);
    canvas.enter_place(static_cast<int>(index), strip.x, strip.y, k, strip.layout.top);
    if (strip.strip < 0)
        draw_unwired(canvas, *plan.model, strip.width);
    else
        draw_strip(canvas, strip.layout, tints, [&](int asked) {
            const Element& element = plan.model->elements[static_cast<std::size_t>(asked)];
            if (element.form != Form::pennant) return plan.square_of_element(element.other_half);
            const std::optional<Spot> spot = plan.spot_of_far_end(element);
            return spot ? plan.square(*spot) : std::string();
        });
    canvas.leave_place();
}

}  // namespace

std::vector<Canvas> draw_pages(const SheetPlan& plan, const SheetOptions& options,
                               const PrepareCanvas& prepare) {
    const Palette& palette = palette_of(options.theme);
    const Tints tints = choose_tints(*plan.model, palette);
    std::vector<Canvas> pages;
    for (int page = 0; page < plan.pages; ++page) {
        Canvas& canvas = pages.emplace_back(palette);
        if (prepare) prepare(canvas, page);
        canvas.rectangle({0, 0, plan.paper.width, plan.paper.height}, palette.paper, {0});
        for (std::size_t i = 0; i < plan.strips.size(); ++i)
            if (plan.strips[i].page == page) draw_placed(canvas, plan, i, tints);
        draw_frame(canvas, plan, page);
    }
    return pages;
}

}  // namespace loomward::sheet
