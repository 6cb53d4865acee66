// The whole sheet: what is cut, at which scale, on how many pages.
#include "render/sheet/pages/sheet_page.hpp"

#include <algorithm>
#include <cmath>

#include "render/sheet/layout/sheet_route.hpp"
#include "render/sheet/pages/sheet_legend.hpp"
#include "render/sheet/pages/sheet_regroup.hpp"
#include "render/sheet/pages/sheet_unwired.hpp"

namespace loomward::sheet {
namespace {

// At the smallest of them a tag is still 1.8 mm high.
constexpr double scales[] = {1, 0.97, 0.94, 0.91}, least_scale = 0.91;
constexpr double sparse = 0.5;  // of its height in use: a page that looks nearly empty
constexpr std::size_t many_lines = 150;
constexpr std::size_t worth_trying = 450;  // lines; every try lays the sheet out anew

struct Composition {
    CutStrips cut;
    std::vector<ShelfPage> pages;
    double scale = 1;
};

Room room_at(const Box& field, double scale) {
    return {field.width() / scale, field.height() / scale - caption_height};
}

// The parts no wire leads to, in rows.
void add_unwired(const SheetModel& model, double width, std::vector<PlacedStrip>& strips) {
    if (model.unwired.empty()) return;
    PlacedStrip strip;
    for (const UnwiredBox& each : place_unwired(model, width)) {
        strip.width = std::max(strip.width, each.box.right);
        strip.height = std::max(strip.height, each.box.bottom);
    }
    strip.caption = "Not wired";
    strips.push_back(std::move(strip));
}

void shelve(Composition& composition, const Box& field) {
    composition.pages = shelves_for(composition.cut.strips, field.width() / composition.scale,
                                    field.height() / composition.scale);
}

// What a reader has to bear: lines that go on elsewhere, lines that cross, smaller lettering; and lines on
// one another, which is to be mended by whatever else.
double burden(const Composition& composition) {
    double sum = composition.cut.cut_weight + (1 - composition.scale) * 40;
    for (const PlacedStrip& strip : composition.cut.strips) {
        const Tally counted = tally(strip.layout);
        sum += 1.5 * counted.crossings + 20.0 * counted.on_top;
    }
    return sum;
}

// Fewest pages; then the smallest burden.
bool better(const Composition& a, const Composition& b) {
    if (a.pages.size() != b.pages.size()) return a.pages.size() < b.pages.size();
    return burden(a) < burden(b);
}

Composition composition_at(const SheetModel& model, const Box& field, double scale, RoughLayouts& known) {
    Composition out;
    out.scale = scale;
    const Room room = room_at(field, scale);
    out.cut = cut_to_fit(model, room, known);
    std::optional<CutStrips> other = regrouped(model, out.cut, room, known);
    add_unwired(model, field.width(), out.cut.strips);
    shelve(out, field);
    if (!other) return out;
    Composition anew{std::move(*other), {}, scale};
    add_unwired(model, field.width(), anew.cut.strips);
    shelve(anew, field);
    return better(anew, out) ? anew : out;
}

Composition best_composition(const SheetModel& model, const Box& field, RoughLayouts& known) {
    if (model.lines.size() > worth_trying) return composition_at(model, field, 0.94, known);
    Composition best = composition_at(model, field, 1, known);
    for (const double scale : scales) {
        if (scale == 1 || (best.pages.size() <= 1 && best.cut.cut_weight == 0)) continue;
        Composition next = composition_at(model, field, scale, known);
        if (better(next, best)) best = std::move(next);
    }
    return best;
}

// Which of two layouts of one strip a reader is better served with: one that fits, without lines on one
// another. Else the first.
bool serves_better(const PlacedStrip& other, const PlacedStrip& first, const Room& room) {
    if (room.holds(other) != room.holds(first)) return room.holds(other);
    return tally(other.layout).on_top < tally(first.layout).on_top;
}

// Every strip laid out with care. One that grew beyond its page by it stays as it was, or is laid out closer.
void refine(Composition& composition, const Box& field, const PlaceOptions& options) {
    const Room room = room_at(field, composition.scale);
    for (PlacedStrip& strip : composition.cut.strips) {
        if (strip.strip < 0) continue;
        PlaceOptions effort = options;
        effort.few_tries = composition.cut.model->lines.size() > many_lines;
        effort.thorough = options.thorough && composition.cut.model->lines.size() <= worth_trying;
        const auto laid = [&] {
            return lay_strip(*composition.cut.model, static_cast<std::size_t>(strip.strip), effort);
        };
        PlacedStrip careful = laid();
        if (serves_better(strip, careful, room)) {
            effort.compact = true;
            PlacedStrip compact = laid();
            if (serves_better(strip, compact, room) ||
                tally(compact.layout).crossings > tally(strip.layout).crossings)
                continue;
            careful = std::move(compact);
        }
        strip = std::move(careful);
    }
    shelve(composition, field);
}

// Closer rows, and if that is not enough smaller lettering, where they save a page.
void tighten(Composition& composition, const Box& field) {
    if (composition.pages.size() < 2 || composition.cut.model->lines.size() > worth_trying) return;
    Composition tight = composition;
    for (PlacedStrip& strip : tight.cut.strips) {
        if (strip.strip < 0) continue;
        PlacedStrip compact =
            lay_strip(*tight.cut.model, static_cast<std::size_t>(strip.strip), {node_gap, true, true, true});
        if (compact.height < strip.height && compact.width <= room_at(field, tight.scale).width)
            strip = std::move(compact);
    }
    for (const double scale : scales) {
        if (scale > composition.scale) continue;
        tight.scale = scale;
        shelve(tight, field);
        if (tight.pages.size() < composition.pages.size()) {
            composition = std::move(tight);
            return;
        }
    }
}

// A small harness is drawn larger, as long as it needs no more pages.
void grow(Composition& composition, const Box& field) {
    if (composition.scale < 1) return;
    for (int percent = 140; percent > 100; percent -= 2) {
        const double scale = percent / 100.0;
        Composition larger = composition;
        larger.scale = scale;
        const Room room = room_at(field, scale);
        if (!std::all_of(larger.cut.strips.begin(), larger.cut.strips.end(),
                         [&](const PlacedStrip& strip) { return room.holds(strip); }))
            continue;
        shelve(larger, field);
        if (larger.pages.size() > composition.pages.size()) continue;
        composition = std::move(larger);
        return;
    }
}

// Where there is room, a little more air between the rows.
void air_the_rows(Composition& composition, const Box& field) {
    if (composition.scale < 1 || composition.pages.size() != 1) return;
    for (const double gap : {2.6, 1.8, 1.0}) {
        Composition airy = composition;
        refine(airy, field, {gap, false, false});
        if (airy.pages.size() > 1 || airy.pages[0].height * airy.scale > 0.95 * field.height()) continue;
        refine(airy, field, {gap, false, true});
        if (airy.pages.size() == 1) composition = std::move(airy);
        return;
    }
}

double fill_of(const ShelfPage& page, const Composition& composition, const Box& field) {
    return page.height * composition.scale / field.height();
}

// How much the lines of a strip cross, and lie on one another.
std::pair<int, int> tangle(const PlacedStrip& strip) {
    const Tally counted = tally(strip.layout);
    return {counted.on_top, counted.crossings};
}

// The strips of one page with that gap between rows; nothing where one outgrows the page or gets tangled.
std::optional<Composition> with_gap(const Composition& composition, std::size_t page, double gap,
                                    const Room& room) {
    Composition spread = composition;
    for (const Shelf& shelf : composition.pages[page].shelves)
        for (const std::size_t index : shelf.strips) {
            PlacedStrip& strip = spread.cut.strips[index];
            if (strip.strip < 0) continue;
            PlacedStrip wider = lay_strip(*spread.cut.model, static_cast<std::size_t>(strip.strip),
                                          {gap, false, true, false});
            if (!room.holds(wider) || tangle(wider) > tangle(strip)) return std::nullopt;
            strip = std::move(wider);
        }
    return spread;
}

// A page that stands nearly empty: its rows further apart, until it does not.
void spread(Composition& composition, const Box& field) {
    if (composition.cut.model->lines.size() > worth_trying) return;
    const Room room = room_at(field, composition.scale);
    for (std::size_t page = 0; page < composition.pages.size(); ++page) {
        const double before = fill_of(composition.pages[page], composition, field);
        if (before >= sparse) continue;
        for (const double gap : {1.8, 3.0, 4.2, 5.4, 6.6, 7.8, 9.0, 10.2}) {
            std::optional<Composition> wider = with_gap(composition, page, gap, room);
            if (!wider) continue;
            shelve(*wider, field);
            if (wider->pages.size() != composition.pages.size() ||
                fill_of(wider->pages[page], *wider, field) <= before)
                continue;
            composition = std::move(*wider);
            if (fill_of(composition.pages[page], composition, field) >= sparse) break;
        }
    }
}

// The largest scale up to the composition's own at which that strip fits a page.
double scale_for(const PlacedStrip& strip, const Composition& composition, const Box& field) {
    return std::min({composition.scale, field.width() / std::max(1.0, strip.width),
                     field.height() / (strip.height + caption_height)});
}

// Where all steps at once would tangle a strip, one after the other, as many as do not. Nothing where none
// goes.
std::optional<PlacedStrip> levelled(const PlacedStrip& before) {
    const auto routed = [](PlacedStrip strip) {
        route(strip.layout);
        strip.width = strip.layout.width;
        strip.height = strip.layout.height();
        return strip;
    };
    PlacedStrip all = before;
    if (!level_out(all.layout, true)) return std::nullopt;
    all = routed(std::move(all));
    if (tangle(all) <= tangle(before)) return all;
    PlacedStrip some = before;
    bool any = false;
    for (std::size_t link = 0; link < before.layout.links.size(); ++link) {
        PlacedStrip next = some;
        if (!level_link(next.layout, link)) continue;
        next = routed(std::move(next));
        if (tangle(next) > tangle(some)) continue;
        some = std::move(next);
        any = true;
    }
    return any ? std::optional(std::move(some)) : std::nullopt;
}

// Steps of less than a millimetre that are left go where a strip may get higher for it; if need be all is
// drawn a hundredth or two smaller.
void straighten(Composition& composition, const Box& field) {
    for (std::size_t i = 0; i < composition.cut.strips.size(); ++i) {
        const PlacedStrip& before = composition.cut.strips[i];
        if (before.strip < 0) continue;
        std::optional<PlacedStrip> strip = levelled(before);
        if (!strip) continue;
        const double scale = scale_for(*strip, composition, field);
        const bool too_small =
            scale < composition.scale && scale < std::max(least_scale, composition.scale - 0.03);
        if (too_small) continue;
        Composition straight = composition;
        straight.scale = scale;
        straight.cut.strips[i] = std::move(*strip);
        shelve(straight, field);
        if (straight.pages.size() <= composition.pages.size()) composition = std::move(straight);
    }
}

// Something that could not be cut is larger than its page: all is drawn smaller, alike.
void shrink(Composition& composition, const Box& field) {
    double needed = composition.scale;
    for (const PlacedStrip& strip : composition.cut.strips)
        needed = std::min(needed, scale_for(strip, composition, field));
    if (needed >= composition.scale) return;
    composition.scale = needed;
    shelve(composition, field);
}

}  // namespace

namespace {

// The sheet with that much room for the list of findings on each page.
SheetPlan compose_for(SheetModel model, const SheetOptions& options, double legend, RoughLayouts& known) {
    SheetPlan plan;
    plan.paper = size_of(options.paper);
    plan.paper_name = name_of(options.paper);
    const bool small = plan.paper.width < 300;
    plan.columns = small ? 6 : 8;
    plan.rows = small ? 4 : 6;
    plan.frame = {20, 10, plan.paper.width - 10, plan.paper.height - 10};
    plan.field = {24, 14, plan.frame.right - 4, plan.frame.bottom - legend - 4};
    Composition best = best_composition(model, plan.field, known);
    if (best.pages.size() > 1) {  // references need a page number: once more with room for it
        model.widest_square = best.pages.size() > 9 ? "99/A0" : "9/A0";
        best = composition_at(model, plan.field, best.scale, known);
    }
    refine(best, plan.field, {});
    tighten(best, plan.field);
    straighten(best, plan.field);
    grow(best, plan.field);
    air_the_rows(best, plan.field);
    spread(best, plan.field);
    straighten(best, plan.field);
    shrink(best, plan.field);
    plan.model = best.cut.model;
    plan.scale = best.scale;
    plan.strips = std::move(best.cut.strips);
    put_on_paper(plan, best.pages);
    return plan;
}

}  // namespace

SheetPlan compose(SheetModel model, const SheetOptions& options) {
    RoughLayouts known;
    double legend = least_legend;
    SheetPlan plan = compose_for(model, options, legend, known);
    // With less room for the strips a page may show other signs and findings, which need more once again.
    for (int round = 0; round < 3; ++round) {
        const double needed = legend_height(plan);
        if (needed <= legend) break;
        legend = needed;
        plan = compose_for(model, options, legend, known);
    }
    return plan;
}

namespace {

constexpr std::size_t fit_on_small_paper = 40;  // more of them do not go on A4 without being cut

bool is_cut(const SheetPlan& plan) {
    return std::any_of(plan.model->lines.begin(), plan.model->lines.end(),
                       [](const Line& line) { return line.stub && !line.dropped; });
}

int crossings_of(const SheetPlan& plan) {
    int sum = 0;
    for (const PlacedStrip& strip : plan.strips) sum += tally(strip.layout).crossings;
    return sum;
}

// A plan of those results on the paper of the options; on A4 where that is as good.
SheetPlan plan_on_paper(const Results& results, const SheetOptions& options) {
    SheetPlan plan = compose(make_model(results, options), options);
    if (options.paper != Paper::fitting || plan.pages > 1 || is_cut(plan)) return plan;
    SheetOptions smaller = options;
    smaller.paper = Paper::a4;
    SheetModel model = make_model(results, smaller);
    const auto shown =
        std::count_if(model.lines.begin(), model.lines.end(), [](const Line& line) { return !line.dropped; });
    if (shown > static_cast<std::ptrdiff_t>(fit_on_small_paper)) return plan;
    SheetPlan small = compose(std::move(model), smaller);
    const bool as_good =
        small.pages == 1 && small.scale >= 1 && !is_cut(small) && crossings_of(small) <= crossings_of(plan);
    return as_good ? small : plan;
}

}  // namespace

SheetPlan plan_sheet(const Results& results, const SheetOptions& options) {
    if (!options.laid_out_for) return plan_on_paper(results, options);
    SheetOptions all = options;
    all.mode.clear();
    all.laid_out_for = nullptr;
    SheetPlan plan = plan_on_paper(*options.laid_out_for, all);
    plan.model = std::make_shared<SheetModel>(painted(*plan.model, make_model(results, options)));
    for (PlacedStrip& strip : plan.strips) strip.layout.model = plan.model.get();
    return plan;
}

}  // namespace loomward::sheet
