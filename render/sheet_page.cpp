// Strips onto paper.
#include <algorithm>

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

Page compose(const SheetModel& model, const SheetOptions& options) {
    Page page;
    page.paper = size_of(options.paper);
    const bool small = page.paper.width < 300;
    page.columns = small ? 6 : 8;
    page.rows = small ? 4 : 6;
    page.frame = {20, 10, page.paper.width - 10, page.paper.height - 10};
    page.field = {24, 14, page.frame.right - 4, page.frame.bottom - legend_height(model, page.paper) - 4};
    for (std::size_t i = 0; i < model.strips.size(); ++i) {
        PlacedStrip strip;
        strip.strip = static_cast<int>(i);
        strip.layout = place(model, model.strips[i]);
        strip.width = strip.layout.width;
        strip.height = strip.layout.height();
        strip.caption = model.strips[i].caption;
        page.strips.push_back(std::move(strip));
    }
    if (!model.unwired.empty()) {
        PlacedStrip strip;
        Canvas measuring(palette_of(options.theme));
        strip.width = page.field.width();
        for (const PlacedStrip& other : page.strips) strip.width = std::max(strip.width, other.width);
        strip.height = draw_unwired(measuring, model, strip.width);
        strip.caption = "Not wired";
        if (strip.width > 0 && !measuring.symbols().empty()) {
            double right = 0;
            for (const Mark& mark : measuring.symbols()) right = std::max(right, mark.box.right);
            strip.width = right;
        }
        page.strips.push_back(std::move(strip));
    }
    std::vector<Shelf> shelves;
    page.scale = fit(page.strips, page.field.width(), page.field.height(), shelves);
    put_on_paper(page, shelves);
    return page;
}

std::string square_of_element(const Page& page, int element) {
    for (const PlacedStrip& strip : page.strips)
        for (const Node& node : strip.layout.nodes)
            if (node.element == element)
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
