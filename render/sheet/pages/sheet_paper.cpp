// Strips onto shelves, shelves onto pages; and the names of places.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "render/sheet/pages/sheet_page.hpp"

namespace loomward::sheet {

PaperSize size_of(Paper paper) {
    switch (paper) {
        case Paper::a4:
            return {297, 210};
        case Paper::fitting:
        case Paper::a3:
            return {420, 297};
        case Paper::letter:
            return {279.4, 215.9};
        case Paper::tabloid:
            return {431.8, 279.4};
    }
    return {420, 297};
}

std::string name_of(Paper paper) {
    switch (paper) {
        case Paper::a4:
            return "A4";
        case Paper::fitting:
        case Paper::a3:
            return "A3";
        case Paper::letter:
            return "letter";
        case Paper::tabloid:
            return "tabloid";
    }
    return {};
}

namespace {

constexpr std::size_t worth_balancing = 200;  // strips
constexpr double nearly_empty = 1.0 / 3;

// A strip goes beside the strips of an earlier shelf where it fits, or under them, or on a page of its own.
std::vector<ShelfPage> shelves_in_order(const std::vector<PlacedStrip>& strips,
                                        const std::vector<std::size_t>& order, double width, double height) {
    std::vector<ShelfPage> pages;
    const auto beside = [&](std::size_t strip) {
        const double high = strips[strip].height + caption_height;
        for (ShelfPage& page : pages)
            for (Shelf& shelf : page.shelves) {
                const double grown = std::max(shelf.height, high);
                if (shelf.width + side_gap + strips[strip].width > width || high > shelf.height * 1.25 + 4 ||
                    page.height + grown - shelf.height > height)
                    continue;
                page.height += grown - shelf.height;
                shelf.width += side_gap + strips[strip].width;
                shelf.height = grown;
                shelf.strips.push_back(strip);
                return true;
            }
        return false;
    };
    const auto under = [&](std::size_t strip) {
        const double high = strips[strip].height + caption_height;
        for (ShelfPage& page : pages)
            if (page.height + shelf_gap + high <= height) {
                page.height += shelf_gap + high;
                page.shelves.push_back({strips[strip].width, high, {strip}});
                return true;
            }
        return false;
    };
    for (const std::size_t i : order) {
        if (beside(i) || under(i)) continue;
        const double high = strips[i].height + caption_height;
        pages.push_back({high, {{strips[i].width, high, {i}}}});
    }
    return pages;
}

}  // namespace

namespace {

// In the order they are read; the tallest first only where that saves a page.
std::vector<ShelfPage> shelves_within(const std::vector<PlacedStrip>& strips, double width, double height) {
    std::vector<std::size_t> order(strips.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::vector<ShelfPage> pages = shelves_in_order(strips, order, width, height);
    if (pages.size() < 2) return pages;
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return strips[a].height > strips[b].height; });
    std::vector<ShelfPage> tallest = shelves_in_order(strips, order, width, height);
    if (tallest.size() >= pages.size()) return pages;
    for (ShelfPage& page : tallest) {
        for (Shelf& shelf : page.shelves) std::sort(shelf.strips.begin(), shelf.strips.end());
        std::stable_sort(page.shelves.begin(), page.shelves.end(),
                         [](const Shelf& a, const Shelf& b) { return a.strips.front() < b.strips.front(); });
    }
    const auto first = [](const ShelfPage& page) {
        std::size_t least = page.shelves.front().strips.front();
        for (const Shelf& shelf : page.shelves)
            for (const std::size_t strip : shelf.strips) least = std::min(least, strip);
        return least;
    };
    std::stable_sort(tallest.begin(), tallest.end(),
                     [&](const ShelfPage& a, const ShelfPage& b) { return first(a) < first(b); });
    return tallest;
}

}  // namespace

// As few pages as that takes. Where one of them would stand nearly empty, no one fuller than it must be.
std::vector<ShelfPage> shelves_for(const std::vector<PlacedStrip>& strips, double width, double height) {
    std::vector<ShelfPage> pages = shelves_within(strips, width, height);
    const bool uneven = std::any_of(pages.begin(), pages.end(), [&](const ShelfPage& page) {
        return page.height < nearly_empty * height;
    });
    if (pages.size() < 2 || !uneven || strips.size() > worth_balancing) return pages;
    for (double part = 0.95; part > 0.45; part -= 0.05) {
        std::vector<ShelfPage> even = shelves_within(strips, width, part * height);
        if (even.size() > pages.size()) break;
        pages = std::move(even);
    }
    return pages;
}

namespace {

void list_nodes(SheetPlan& plan) {
    plan.node_of_element.clear();
    plan.label_of_line.clear();
    plan.run_of_line.clear();
    for (std::size_t strip = 0; strip < plan.strips.size(); ++strip) {
        const std::vector<Run>& runs = plan.strips[strip].layout.runs;
        for (std::size_t i = 0; i < runs.size(); ++i) plan.run_of_line.try_emplace(runs[i].line, strip, i);
        const std::vector<Node>& nodes = plan.strips[strip].layout.nodes;
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            for (const int element : {nodes[i].element, nodes[i].cluster})
                if (element >= 0) plan.node_of_element.try_emplace(element, strip, i);
            if (nodes[i].type == NodeType::label) plan.label_of_line.try_emplace(nodes[i].line, strip, i);
        }
    }
}

}  // namespace

void put_on_paper(SheetPlan& plan, const std::vector<ShelfPage>& pages) {
    const double k = plan.scale;
    list_nodes(plan);
    plan.pages = std::max(1, static_cast<int>(pages.size()));
    for (std::size_t p = 0; p < pages.size(); ++p) {
        const std::vector<Shelf>& shelves = pages[p].shelves;
        double widest = 0;
        for (const Shelf& shelf : shelves) widest = std::max(widest, shelf.width);
        const double spare = plan.field.height() - pages[p].height * k;
        const double gap = std::clamp(spare / static_cast<double>(shelves.size() + 1), 0.0, 10.0);
        double y =
            plan.field.top + std::max(0.0, (spare - gap * static_cast<double>(shelves.size() - 1)) / 2);
        const double left = plan.field.left + std::max(0.0, (plan.field.width() - widest * k) / 2);
        for (const Shelf& shelf : shelves) {
            double x = left;
            for (const std::size_t index : shelf.strips) {
                PlacedStrip& strip = plan.strips[index];
                strip.page = static_cast<int>(p);
                strip.x = x;
                strip.y = y + caption_height * k;
                x += (strip.width + side_gap) * k;
            }
            y += (shelf.height + shelf_gap) * k + gap;
        }
    }
}

std::string SheetPlan::square(const Spot& spot) const {
    const int column =
        std::clamp(static_cast<int>((spot.x - frame.left) / (frame.width() / columns)), 0, columns - 1);
    const int row = std::clamp(static_cast<int>((spot.y - frame.top) / (frame.height() / rows)), 0, rows - 1);
    const std::string here = std::string(1, static_cast<char>('A' + row)) + std::to_string(column + 1);
    return pages > 1 ? std::to_string(spot.page + 1) + '/' + here : here;
}

namespace {

Spot spot_at(const SheetPlan& plan, const PlacedStrip& strip, double x, double y) {
    return {strip.page, strip.x + x * plan.scale, strip.y + (y - strip.layout.top) * plan.scale};
}

}  // namespace

std::optional<Spot> SheetPlan::spot_of_element(int element) const {
    const auto found = node_of_element.find(element);
    if (found == node_of_element.end()) return std::nullopt;
    const PlacedStrip& strip = strips[found->second.first];
    const Node& node = strip.layout.nodes[found->second.second];
    return spot_at(*this, strip, node.x + node.width / 2, node.y + node.height / 2);
}

std::optional<Spot> SheetPlan::spot_of_far_end(const Element& pennant) const {
    const auto found = run_of_line.find(pennant.goes_on_as);
    if (found == run_of_line.end()) return spot_of_element(pennant.goes_on_at);
    const PlacedStrip& strip = strips[found->second.first];
    const Layout& layout = strip.layout;
    const Run& run = layout.runs[found->second.second];
    const std::vector<Point>& path = layout.paths[found->second.second];
    const bool at_front = layout.element(layout.node(run.nodes.front())).form != Form::pennant;
    const Point end = at_front ? path.front() : path.back();
    return spot_at(*this, strip, end.x, end.y);
}

std::optional<Spot> SheetPlan::spot_of_line(int line) const {
    const auto found = label_of_line.find(line);
    if (found == label_of_line.end()) return std::nullopt;
    const PlacedStrip& strip = strips[found->second.first];
    const Node& node = strip.layout.nodes[found->second.second];
    return spot_at(*this, strip, node.x + 2, node.y + 2);
}

std::string SheetPlan::square_of_element(int element) const {
    const std::optional<Spot> spot = spot_of_element(element);
    return spot ? square(*spot) : std::string();
}

std::string SheetPlan::square_of_line(int line) const {
    const std::optional<Spot> spot = spot_of_line(line);
    return spot ? square(*spot) : std::string();
}

}  // namespace loomward::sheet
