// Lines, labels, and what joins several nodes: rings, bars, links between contacts.
#include <algorithm>
#include <cmath>
#include <numeric>

#include "render/sheet/draw/sheet_areas.hpp"
#include "render/sheet/draw/sheet_strip_drawer.hpp"
#include "render/sheet/draw/symbols.hpp"
#include "render/sheet/layout/sheet_route.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {

Tints choose_tints(const SheetModel& model, const Palette& palette) {
    Tints tints;
    std::size_t next = 0;
    for (const Line& line : model.lines)
        if (!line.guard.empty() &&
            tints.try_emplace(line.guard, palette.tints[next % palette.tints.size()]).second)
            ++next;
    return tints;
}

std::string element_target(int element) {
    return "part-" + std::to_string(element);
}
std::string line_target(int line) {
    return "wire-" + std::to_string(line);
}

// A band in the colour of the guard; electronics alone: a broken band; nothing: a white ladder edged in ink;
// a lead short enough to need none: its edges without the rungs.
void draw_tint(Canvas& canvas, const Line& line, const std::string& path, const Tints& tints) {
    const double halo = halo_width(line.area_mm2, line.unguarded), wire = wire_width(line.area_mm2);
    if (line.unguarded) {
        canvas.path(path, {halo});
        canvas.path(path, {halo - 0.6, canvas.palette().paper});
        if (!line.short_lead) canvas.path(path, {wire + 2.6, {}, "0.5 1.2"});
    } else if (const auto tint = tints.find(line.guard); tint != tints.end()) {
        canvas.path(path, {halo, tint->second, line.electronic ? "1.5 1" : ""});
    }
}

namespace {

// Of red, green and blue, each 0 to 1, as bright as the eye takes it (WCAG 2.1, relative luminance).
double luminance(std::string_view colour) {
    double sum = 0;
    constexpr double weights[] = {0.2126, 0.7152, 0.0722};
    for (std::size_t i = 0; i < 3; ++i) {
        const auto digit = [&](std::size_t at) {
            const char c = colour[at];
            return c <= '9' ? c - '0' : (c | 32) - 'a' + 10;
        };
        const double part = (digit(1 + 2 * i) * 16 + digit(2 + 2 * i)) / 255.0;
        sum += weights[i] * (part <= 0.04045 ? part / 12.92 : std::pow((part + 0.055) / 1.055, 2.4));
    }
    return sum;
}

// An insulation that hardly stands out from the paper is edged in ink.
bool needs_edge(std::string_view colour, std::string_view paper) {
    const double a = luminance(colour), b = luminance(paper);
    return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05) < 3;
}

}  // namespace

// From bottom to top: a gap that opens the crossings, an edge where the colour is near that of the paper, the
// insulation; a second colour lies across it in bands, a colour nobody stated is an empty sleeve.
void draw_wire(Canvas& canvas, const Line& line, const std::string& path) {
    const double wire = wire_width(line.area_mm2);
    const Palette& palette = canvas.palette();
    canvas.path(path, {wire + 0.95, palette.paper});
    if (!line.is_wire() && !line.stub) return canvas.path(path, {0.9});  // bolted
    const bool unstated = line.colour == Colour::none;
    const std::string_view colour = unstated ? palette.paper : insulation_colour(line.colour);
    const bool edged = unstated || needs_edge(colour, palette.paper) ||
                       (line.second_colour != Colour::none &&
                        needs_edge(insulation_colour(line.second_colour), palette.paper));
    if (edged) canvas.path(path, {wire + 0.5});
    canvas.path(path, {wire, colour});
    if (unstated) canvas.path(path, {std::max(0.2, wire * 0.3), palette.soft, "1.2 1.2"});
    if (line.second_colour != Colour::none)
        canvas.path(path, {wire, insulation_colour(line.second_colour), "1.1 2.6"});
}

void StripDrawer::draw_areas() {
    canvas_.own(-1);
    const Palette& palette = canvas_.palette();
    for (const NamedArea& area : find_areas(layout_)) {
        canvas_.open_group("data-location", area.name);
        canvas_.rectangle(area.box, palette.area, {0.25, palette.area_edge}, 1.2);
        canvas_.text(area.at.x, area.at.y, area.name, small_size, true, Anchor::start, palette.soft);
        canvas_.close_group();
    }
}

void StripDrawer::draw_lines() {
    canvas_.own(-1);
    for (std::size_t i = 0; i < layout_.runs.size(); ++i) {
        const Line& line = layout_.line(layout_.runs[i].line);
        if (line.off) canvas_.open_pale(false);
        draw_tint(canvas_, line, path_of(i), tints_);
        if (line.off) canvas_.close_group();
    }
    draw_rings(false);
    std::vector<std::size_t> order(layout_.runs.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return layout_.line(layout_.runs[a].line).area_mm2 > layout_.line(layout_.runs[b].line).area_mm2;
    });
    for (const std::size_t i : order) {
        const Line& line = layout_.line(layout_.runs[i].line);
        if (line.is_wire())
            canvas_.open_group("data-wire", line.name, line.title);
        else if (line.stub)
            canvas_.open_group("data-rest-of", line.name, line.title);
        else
            canvas_.open_group({}, {}, line.title);
        if (line.off) canvas_.open_pale(false);
        draw_wire(canvas_, line, path_of(i));
        if (line.off) canvas_.close_group();
        canvas_.close_group();
    }
}

// A cable is a solid ring, a bundle a dashed one; neighbours in a column share it.
void StripDrawer::draw_rings(bool names) {
    std::map<int, std::vector<int>> columns;
    for (std::size_t i = 0; i < layout_.nodes.size(); ++i)
        if (layout_.nodes[i].type == NodeType::label || layout_.nodes[i].type == NodeType::pass)
            columns[layout_.nodes[i].column].push_back(static_cast<int>(i));
    for (auto& [column, members] : columns) {
        std::stable_sort(members.begin(), members.end(),
                         [&](int a, int b) { return layout_.node(a).y < layout_.node(b).y; });
        std::vector<const Node*> run;
        int owner = -1;
        const auto flush = [&] {
            if (run.empty()) return;
            const Line& first = layout_.line(run.front()->line);
            const Line& last = layout_.line(run.back()->line);
            double x = 0;
            for (const Node* node : run) {
                const double reserved = ring_width(layout_.line(node->line));
                x = std::max(x, node->x + node->width - reserved / 2 - 0.2);
            }
            const double top = run.front()->y + run.front()->row - wire_width(first.area_mm2) / 2 - 1.0;
            const double bottom = run.back()->y + run.back()->row + wire_width(last.area_mm2) / 2 + 1.0;
            if (names) {
                canvas_.own(owner);
                canvas_.text(x, top - 0.45, first.ring, small_size, true, Anchor::middle,
                             canvas_.palette().soft);
            } else {
                canvas_.rectangle({x - 1, top, x + 1, bottom}, "none",
                                  {0.3, {}, first.is_cable ? "" : "0.9 0.6"}, 1);
            }
            run.clear();
        };
        for (const int index : members) {
            const Node& node = layout_.node(index);
            const std::string& ring = layout_.line(node.line).ring;
            if (node.type != NodeType::label || ring.empty()) {
                flush();
                continue;
            }
            if (!run.empty() && (layout_.line(run.front()->line).ring != ring ||
                                 node.y - (run.back()->y + run.back()->height) > 3))
                flush();
            if (run.empty()) owner = index;
            run.push_back(&node);
        }
        flush();
    }
}

void StripDrawer::draw_label(int index) {
    const Node& node = layout_.node(index);
    const Line& line = layout_.line(node.line);
    const double y = node.y + node.row, half = wire_width(line.area_mm2) / 2, clear = clearance(line);
    const double base = y - half - clear - 0.1;
    canvas_.open_group({}, {}, {}, line_target(node.line));
    canvas_.add_target(line_target(node.line), node.x, node.y);
    if (line.off) canvas_.open_pale(true);
    draw_flags(canvas_, node.x + spare_room(line), base - 0.3, line.flags);  // clear of the wire
    double x = node.x + flags_room(line);
    canvas_.text(x, base, line.name, label_size_mm, true);
    x += text_width(line.name, label_size_mm, true) + 1.1;
    if (const std::string tag = line.stub ? "" : tag_of(line); !tag.empty()) {
        const double width = tag_width(line);
        const auto tint = tints_.find(line.guard);
        const bool tinted = !line.unguarded && tint != tints_.end();
        // What the proof does not allow is inverted; a lead that is short enough only outlined.
        const bool inverted = !tinted && !line.short_lead;
        canvas_.rectangle({x, base - 1.95, x + width, base + 0.4},
                          tinted     ? tint->second
                          : inverted ? canvas_.palette().ink
                                     : canvas_.palette().paper,
                          {0.16, {}, line.electronic ? "0.7 0.4" : ""}, 0.5);
        canvas_.text(x + width / 2, base - 0.12, tag, small_size, true, Anchor::middle,
                     inverted ? canvas_.palette().paper : canvas_.palette().ink);
        x += width + 1.0;
    }
    if (line.loading >= 0) draw_gauge(canvas_, x, base - 1.25, 5.4, line.loading);
    if (!line.figure.empty())
        canvas_.text(x, base - 0.12, line.figure, small_size, line.beyond, Anchor::start,
                     line.beyond ? canvas_.palette().error : canvas_.palette().ink);
    const double size = label_size_mm * 0.93;
    if (!line.stub) canvas_.text(node.x, y + half + clear + label_size_mm * 0.68, line.text, size);
    if (const Run& run = layout_.runs[run_of_label_[static_cast<std::size_t>(index)]];
        layout_.arrow_leftward(run))
        draw_arrow(canvas_, node.x + node.width - ring_width(line) - 2.6, y, wire_width(line.area_mm2));
    if (line.off) canvas_.close_group();
    canvas_.close_group();
}

namespace {

// One below the other beside a bar at x, where one of its landings keeps room for them.
void draw_bar_flags(Canvas& canvas, double x, Side side, double top, const std::vector<Flag>& flags) {
    double base = top + 2.5;
    const auto left = [&](double width) {
        return side == Side::right ? x + bar_flags : x - bar_flags - width;
    };
    for (std::size_t i = 0; i < std::min(flags.size(), flags_shown); ++i, base += flag_row)
        draw_flag(canvas, left(flag_advance(flags[i].number) - 0.8), base, flags[i]);
    if (flags.size() <= flags_shown) return;
    const std::string more = "+" + std::to_string(flags.size() - flags_shown);
    canvas.text(left(text_width(more, small_size, true)), base, more, small_size, true);
}

}  // namespace

// The side on which the name of a bar stands: right of one that collects, else left; of a bar with one line,
// on the side on which that does not arrive.
Side StripDrawer::side_of_name(const Element& element,
                               const std::vector<std::pair<double, int>>& landings) const {
    const Node& only = layout_.node(landings.front().second);
    if (landings.size() == 1 && only.type == NodeType::landing && only.landings.size() == 1)
        return other(only.landings.front().side);
    return element.collects ? Side::right : Side::left;
}

// One thick line through all landings of a bar, its name along it where there is most room.
void StripDrawer::draw_bars() {
    std::map<int, std::vector<std::pair<double, int>>> bars;  // heights of landings, and nodes
    for (std::size_t i = 0; i < layout_.nodes.size(); ++i)
        if (const Node& node = layout_.nodes[i]; node.cluster >= 0)
            bars[node.cluster].emplace_back(node.y + node.row, static_cast<int>(i));
    for (auto& [index, landings] : bars) {
        std::sort(landings.begin(), landings.end());
        const Element& element = layout_.model->elements[static_cast<std::size_t>(index)];
        const double x = bar_x(layout_, index), top = landings.front().first - 1,
                     bottom = landings.back().first + 1;
        const auto wired = std::find_if(landings.begin(), landings.end(), [&](const auto& landing) {
            return layout_.node(landing.second).type == NodeType::landing;
        });
        canvas_.own((wired != landings.end() ? wired : landings.begin())->second);
        canvas_.open_group("data-part", part_name(element), element.title, element_target(index));
        canvas_.add_target(element_target(index), x, top);
        if (element.off) canvas_.open_pale(true);
        canvas_.line(x, top, x, bottom, {1.6, {}, {}, true});
        canvas_.mark_symbol({x - 0.7, top, x + 0.7, bottom});
        const Side side = side_of_name(element, landings);
        double gap_top = top, gap_bottom = bottom, before = top;
        double widest = 0;
        for (const auto& [y, index_of_node] : landings) {
            const Node& node = layout_.node(index_of_node);
            const bool seated = node.type != NodeType::landing;
            const bool taken = seated ? layout_.element(node).left_of_bar == (side == Side::left)
                                      : std::any_of(node.landings.begin(), node.landings.end(),
                                                    [&](const Landing& each) { return each.side == side; });
            if (!taken) continue;
            // What stands on that side has its texts there too.
            const double from = seated ? node.y : y;
            if (from - before > widest) widest = from - before, gap_top = before, gap_bottom = from;
            before = std::max(before, seated ? node.y + node.height : y);
        }
        if (bottom - before > widest) gap_top = before, gap_bottom = bottom;
        const std::string full = element.rating.empty() ? element.name : element.name + "  " + element.rating;
        const bool fits = text_width(full, rating_size, true) < gap_bottom - gap_top - 2.5;
        const double middle = (gap_top + gap_bottom) / 2;
        canvas_.upright_text(side == Side::right ? x + 3.4 : x - 1.6, middle, fits ? full : element.name,
                             fits ? rating_size : designator_size, true);
        for (const auto& landing : landings)
            if (const Node& node = layout_.node(landing.second); node.flags > 0)
                draw_bar_flags(canvas_, x, other(side), node.y, element.flags);
        if (element.off) canvas_.close_group();
        canvas_.close_group();
    }
}

// The contacts of one connector move together: a dashed link, broken where another part stands between.
void StripDrawer::draw_contact_links() {
    std::map<std::pair<std::uint32_t, int>, std::vector<const Node*>> connectors;
    std::map<int, std::vector<const Node*>> columns;
    for (const Node& node : layout_.nodes) {
        if (node.type != NodeType::element) continue;
        columns[node.column].push_back(&node);
        if (layout_.element(node).form == Form::contact || layout_.element(node).pole)
            connectors[{layout_.element(node).part.value, node.column}].push_back(&node);
    }
    canvas_.own(-1);
    for (auto& [column, nodes] : columns)
        std::stable_sort(nodes.begin(), nodes.end(),
                         [](const Node* a, const Node* b) { return a->y < b->y; });
    for (auto& [key, contacts] : connectors) {
        std::sort(contacts.begin(), contacts.end(), [](const Node* a, const Node* b) { return a->y < b->y; });
        for (std::size_t i = 0; i + 1 < contacts.size(); ++i) {
            const Node &upper = *contacts[i], &lower = *contacts[i + 1];
            const std::vector<const Node*>& column = columns[key.second];
            const auto after = std::upper_bound(column.begin(), column.end(), upper.y,
                                                [](double y, const Node* node) { return y < node->y; });
            if (after == column.end() || *after != &lower) continue;
            const bool poles = layout_.element(upper).pole;
            const double x = upper.x + upper.width / 2 + upper.shift +
                             (poles           ? 0
                              : upper.flipped ? -0.35
                                              : 0.35) *
                                 module_mm;
            const double from = upper.y + upper.row + 0.3 * module_mm + 0.4, to = lower.y + 0.2;
            if (to > from) canvas_.line(x, from, x, to, {0.3, {}, "1.1 0.8"});
        }
    }
}

// Open circles where lines end. Of two that end on both faces of a bar at one height, the smaller one would
// lie inside the larger: that is drawn alone.
void StripDrawer::draw_ends() {
    std::vector<EndCircle> circles;
    for (std::size_t i = 0; i < layout_.runs.size(); ++i) {
        const double radius = end_radius(layout_.line(layout_.runs[i].line));
        const Run& run = layout_.runs[i];
        const auto add = [&](int node, const Point& end) {
            if (layout_.element(layout_.node(node)).form != Form::pennant) circles.push_back({end, radius});
        };
        add(run.nodes.front(), layout_.paths[i].front());
        add(run.nodes.back(), layout_.paths[i].back());
    }
    for (const EndCircle& each : circles_apart(std::move(circles)))
        canvas_.circle(each.at.x, each.at.y, each.radius, canvas_.palette().paper, {0.3});
}

std::vector<EndCircle> circles_apart(std::vector<EndCircle> circles) {
    std::vector<EndCircle> apart;
    for (std::size_t i = 0; i < circles.size(); ++i) {
        const EndCircle& inner = circles[i];
        bool inside = false;
        for (std::size_t j = 0; j < circles.size() && !inside; ++j) {
            const EndCircle& outer = circles[j];
            const double away = std::hypot(inner.at.x - outer.at.x, inner.at.y - outer.at.y);
            const bool larger = outer.radius > inner.radius || (outer.radius == inner.radius && j < i);
            inside = i != j && larger && away < outer.radius;
        }
        if (!inside) apart.push_back(inner);
    }
    return apart;
}

void draw_strip(Canvas& canvas, const Layout& layout, const Tints& tints, const SquareOf& square_of) {
    StripDrawer(canvas, layout, tints, square_of).draw();
}

}  // namespace loomward::sheet
