// Strips onto paper.
#include <algorithm>
#include <cmath>
#include <map>

#include "render/sheet_frame.hpp"

namespace loomward::sheet {
namespace {

constexpr double caption_height = 5, strip_gap = 7, side_gap = 14;

struct Shelf {
    double width = 0, height = 0;
    std::vector<std::size_t> strips;
};

// Strips in order; one goes beside the strips of an earlier shelf where it fits.
std::vector<Shelf> shelves_for(const std::vector<PlacedStrip>& strips, double width) {
    std::vector<Shelf> shelves;
    for (std::size_t i = 0; i < strips.size(); ++i) {
        const double height = strips[i].height + caption_height;
        const auto fits = [&](const Shelf& shelf) {
            return shelf.width + side_gap + strips[i].width <= width && height <= shelf.height * 1.25 + 4;
        };
        auto shelf = std::find_if(shelves.begin(), shelves.end(), fits);
        if (shelf == shelves.end()) {
            shelves.push_back({strips[i].width, height, {i}});
        } else {
            shelf->width += side_gap + strips[i].width;
            shelf->height = std::max(shelf->height, height);
            shelf->strips.push_back(i);
        }
    }
    return shelves;
}

double height_of(const std::vector<Shelf>& shelves) {
    double height = 0;
    for (const Shelf& shelf : shelves) height += shelf.height + strip_gap;
    return std::max(0.0, height - strip_gap);
}

// The largest scale at which everything fits the field, and the shelves for it.
double fit(const std::vector<PlacedStrip>& strips, double width, double height, std::vector<Shelf>& shelves) {
    double widest = 1;
    for (const PlacedStrip& strip : strips) widest = std::max(widest, strip.width);
    const auto fits = [&](double scale) {
        shelves = shelves_for(strips, width / scale);
        return widest * scale <= width && height_of(shelves) * scale <= height;
    };
    if (fits(1)) return 1;
    double low = 0, high = 1;
    for (int i = 0; i < 30; ++i) {
        const double middle = (low + high) / 2;
        (fits(middle) ? low : high) = middle;
    }
    low = std::max(low, 1e-4);
    shelves = shelves_for(strips, width / low);
    return low;
}

void put_on_paper(Page& page, const std::vector<Shelf>& shelves) {
    const double k = page.scale;
    double widest = 0;
    for (const Shelf& shelf : shelves) widest = std::max(widest, shelf.width);
    const double spare = page.field.height() - height_of(shelves) * k;
    const double gap = shelves.empty() ? 0 : std::min(10.0, spare / static_cast<double>(shelves.size() + 1));
    double y = page.field.top + std::max(0.0, (spare - gap * static_cast<double>(shelves.size() - 1)) / 2);
    const double left = page.field.left + std::max(0.0, (page.field.width() - widest * k) / 2);
    for (const Shelf& shelf : shelves) {
        double x = left;
        for (const std::size_t index : shelf.strips) {
            PlacedStrip& strip = page.strips[index];
            strip.x = x;
            strip.y = y + caption_height * k;
            x += (strip.width + side_gap) * k;
        }
        y += (shelf.height + strip_gap) * k + gap;
    }
}

std::string square_at(const Page& page, const PlacedStrip& strip, double x, double y) {
    return page.square(strip.x + x * page.scale, strip.y + (y - strip.layout.top) * page.scale);
}

}  // namespace

PaperSize size_of(Paper paper) {
    switch (paper) {
        case Paper::a4:
            return {297, 210};
        case Paper::a3:
            return {420, 297};
        case Paper::letter:
            return {279.4, 215.9};
        case Paper::tabloid:
            return {431.8, 279.4};
    }
    return {420, 297};
}

std::string Page::square(double x, double y) const {
    const int column =
        std::clamp(static_cast<int>((x - frame.left) / (frame.width() / columns)), 0, columns - 1);
    const int row = std::clamp(static_cast<int>((y - frame.top) / (frame.height() / rows)), 0, rows - 1);
    return std::string(1, static_cast<char>('A' + row)) + std::to_string(column + 1);
}

namespace {

// The strips of a model, laid out; and the parts no wire leads to.
std::vector<PlacedStrip> lay_out(const SheetModel& model, double field_width, const PlaceOptions& options) {
    std::vector<PlacedStrip> strips;
    for (std::size_t i = 0; i < model.strips.size(); ++i) {
        PlacedStrip strip;
        strip.strip = static_cast<int>(i);
        strip.layout = place(model, model.strips[i], options);
        strip.width = strip.layout.width;
        strip.height = strip.layout.height();
        strip.caption = model.strips[i].caption;
        strips.push_back(std::move(strip));
    }
    if (model.unwired.empty()) return strips;
    PlacedStrip strip;
    Canvas measuring(light_palette);
    strip.height = draw_unwired(measuring, model, field_width);
    for (const Mark& mark : measuring.symbols()) strip.width = std::max(strip.width, mark.box.right);
    strip.caption = "Not wired";
    strips.push_back(std::move(strip));
    return strips;
}

// Which band each element of a strip goes to: cuts near even parts of its length, where few lines are cut.
std::vector<int> choose_bands(const SheetModel& model, const PlacedStrip& placed, int bands) {
    const Strip& strip = model.strips[static_cast<std::size_t>(placed.strip)];
    std::vector<int> column_of(model.elements.size(), 0);
    std::map<int, double> left_of;  // even columns
    for (const Node& node : placed.layout.nodes)
        if (node.element >= 0) {
            column_of[static_cast<std::size_t>(node.element)] = node.column;
            const auto [entry, fresh] = left_of.try_emplace(node.column, node.x);
            if (!fresh) entry->second = std::min(entry->second, node.x);
        }
    // A bar without landings of its own stands where its fuses do.
    for (const int index : strip.elements)
        if (const int bar = model.elements[static_cast<std::size_t>(index)].on_bar; bar >= 0)
            column_of[static_cast<std::size_t>(bar)] = column_of[static_cast<std::size_t>(index)];
    std::map<int, int> crossing;  // lines that a cut before that column parts
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        const auto [low, high] = std::minmax(column_of[static_cast<std::size_t>(line.from.element)],
                                             column_of[static_cast<std::size_t>(line.to.element)]);
        for (auto at = left_of.upper_bound(low); at != left_of.end() && at->first <= high; ++at)
            crossing[at->first] += line.is_wire() ? 1 : 4;
    }
    std::vector<int> cuts;
    const double length = placed.width / bands;
    for (int i = 1; i < bands; ++i) {
        int best = -1;
        double lowest = 0;
        for (const auto& [column, x] : left_of) {
            const double away = std::abs(x - i * length);
            if (column == 0 || away > length * 0.35 || (!cuts.empty() && column <= cuts.back())) continue;
            const double cost = 9.0 * crossing[column] + 0.6 * away;
            if (best < 0 || cost < lowest) best = column, lowest = cost;
        }
        if (best >= 0) cuts.push_back(best);
    }
    std::vector<int> band_of(model.elements.size(), 0);
    for (const int index : strip.elements)
        band_of[static_cast<std::size_t>(index)] = static_cast<int>(
            std::upper_bound(cuts.begin(), cuts.end(), column_of[static_cast<std::size_t>(index)]) -
            cuts.begin());
    return band_of;
}

// The model with its strips cut to about `length`; the same directions as in the layouts they were seen in.
SheetModel folded(const SheetModel& model, const std::vector<PlacedStrip>& strips, double length) {
    SheetModel out = model;
    out.strips.clear();
    for (const PlacedStrip& placed : strips) {
        if (placed.strip < 0) continue;
        const Strip& strip = model.strips[static_cast<std::size_t>(placed.strip)];
        const int bands = static_cast<int>(std::ceil(placed.width / length - 0.15));
        if (bands < 2) {
            out.strips.push_back(strip);
            continue;
        }
        for (const Run& run : placed.layout.runs)
            out.lines[static_cast<std::size_t>(run.line)].left_is_from = run.left_is_from;
        for (Strip& band : cut_strip(out, strip, choose_bands(model, placed, bands)))
            out.strips.push_back(std::move(band));
    }
    return out;
}

struct Composition {
    std::shared_ptr<const SheetModel> model;
    std::vector<PlacedStrip> strips;
    std::vector<Shelf> shelves;
    double scale = 0;
};

Composition composition_of(std::shared_ptr<const SheetModel> model, const Box& field,
                           const PlaceOptions& options) {
    Composition composition;
    composition.model = std::move(model);
    composition.strips = lay_out(*composition.model, field.width(), options);
    composition.scale = fit(composition.strips, field.width(), field.height(), composition.shelves);
    return composition;
}

constexpr PlaceOptions sizes_only = {node_gap, false, false};

// Tries ever shorter bands while the lettering grows by it; a cut costs the reader something, so it must pay.
std::shared_ptr<const SheetModel> fold(const Composition& whole, const Box& field) {
    std::shared_ptr<const SheetModel> best = whole.model;
    double largest = whole.scale, widest = 0;
    for (const PlacedStrip& strip : whole.strips) widest = std::max(widest, strip.width);
    int misses = 0;
    for (int bands = 2; bands <= 12 && largest < 0.9 && misses < 2; ++bands) {
        const double length = widest / bands;
        if (length < field.width() * 0.55) break;
        auto model = std::make_shared<const SheetModel>(folded(*whole.model, whole.strips, length));
        const Composition next = composition_of(model, field, sizes_only);
        ++misses;
        if (next.scale > largest * 1.12) best = std::move(model), largest = next.scale, misses = 0;
    }
    return best;
}

Composition best_composition(SheetModel model, const Box& field) {
    constexpr std::size_t worth_trying = 600;  // lines; every try lays the sheet out anew
    const bool small = model.lines.size() <= worth_trying;
    const Composition whole =
        composition_of(std::make_shared<const SheetModel>(std::move(model)), field, sizes_only);
    if (!small) return whole;
    const auto chosen = whole.scale < 0.9 ? fold(whole, field) : whole.model;
    Composition best = composition_of(chosen, field, {});
    if (best.scale < 0.95) {
        Composition compact = composition_of(chosen, field, {node_gap, true, true});
        return compact.scale > best.scale * 1.05 ? compact : best;
    }
    // Where there is room, a little more air between the rows.
    for (const double gap : {2.6, 1.8, 1.0}) {
        const Composition airy = composition_of(chosen, field, {gap, false, false});
        if (airy.scale >= best.scale && height_of(airy.shelves) < 0.95 * field.height())
            return composition_of(chosen, field, {gap, false, true});
    }
    return best;
}

}  // namespace

Page compose(SheetModel model, const SheetOptions& options) {
    Page page;
    page.paper = size_of(options.paper);
    const bool small = page.paper.width < 300;
    page.columns = small ? 6 : 8;
    page.rows = small ? 4 : 6;
    page.frame = {20, 10, page.paper.width - 10, page.paper.height - 10};
    page.field = {24, 14, page.frame.right - 4, page.frame.bottom - legend_height(model, page.paper) - 4};
    Composition best = best_composition(std::move(model), page.field);
    page.model = best.model;
    page.strips = std::move(best.strips);
    page.scale = best.scale;
    put_on_paper(page, best.shelves);
    return page;
}

std::string square_of_element(const Page& page, int element) {
    for (const PlacedStrip& strip : page.strips)
        for (const Node& node : strip.layout.nodes)
            if (node.element == element && node.type != NodeType::label)
                return square_at(page, strip, node.x + node.width / 2, node.y + node.height / 2);
    return {};
}

std::string square_of_line(const Page& page, int line) {
    for (const PlacedStrip& strip : page.strips)
        for (const Node& node : strip.layout.nodes)
            if (node.type == NodeType::label && node.line == line)
                return square_at(page, strip, node.x + 2, node.y + 2);
    return {};
}

}  // namespace loomward::sheet
