#include "render/sheet_draw.hpp"

#include <algorithm>
#include <numeric>

#include "render/sheet_route.hpp"
#include "render/svg_font.hpp"
#include "render/svg_symbols.hpp"

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

// A band in the colour of the guard; electronics alone: a broken band; nothing: a white ladder edged in ink.
void draw_tint(Canvas& canvas, const Line& line, const std::string& path, const Tints& tints) {
    const double halo = halo_width(line.area_mm2, line.unguarded), wire = wire_width(line.area_mm2);
    if (line.unguarded) {
        canvas.path(path, {halo});
        canvas.path(path, {halo - 0.6, canvas.palette().paper});
        canvas.path(path, {wire + 2.6, {}, "0.5 1.2"});
    } else if (const auto tint = tints.find(line.guard); tint != tints.end()) {
        canvas.path(path, {halo, tint->second, line.electronic ? "1.5 1" : ""});
    }
}

// From bottom to top: a gap that opens the crossings, the casing in ink, the insulation, its second colour.
void draw_wire(Canvas& canvas, const Line& line, const std::string& path) {
    const double wire = wire_width(line.area_mm2);
    canvas.path(path, {wire + 0.95, canvas.palette().paper});
    if (!line.is_labelled()) return canvas.path(path, {0.6});
    canvas.path(path, {wire + 0.34});
    canvas.path(path, {wire, insulation_colour(line.colour)});
    if (line.second_colour != Colour::none)
        canvas.path(path, {wire * 0.36, insulation_colour(line.second_colour)});
}

namespace {

// "+" and "-" as they are printed on a sheet.
std::string pin_text(std::string name) {
    if (!name.empty() && name.back() == '-') name.replace(name.size() - 1, 1, "−");
    return name;
}

class StripDrawer {
  public:
    StripDrawer(Canvas& canvas, const Layout& layout, const Tints& tints, const SquareOf& square_of)
        : canvas_(canvas),
          layout_(layout),
          tints_(tints),
          square_of_(square_of),
          run_of_label_(layout.nodes.size()) {
        for (std::size_t i = 0; i < layout.runs.size(); ++i)
            if (layout.runs[i].label >= 0) run_of_label_[static_cast<std::size_t>(layout.runs[i].label)] = i;
    }

    void draw() {
        draw_lines();
        for (std::size_t i = 0; i < layout_.nodes.size(); ++i) {
            canvas_.own(static_cast<int>(i));
            const Node& node = layout_.nodes[i];
            if (node.type == NodeType::label) draw_label(static_cast<int>(i));
            if (node.type != NodeType::element) continue;
            const Element& element = layout_.element(node);
            if (element.form == Form::pennant) {
                draw_pennant(node, element);
                continue;
            }
            canvas_.open_group("data-part", part_name(element), element.title);
            for (const PartId part : element.also) {
                canvas_.open_group("data-part", part_path(part));
                canvas_.close_group();
            }
            draw_element(node, element);
            canvas_.close_group();
        }
        draw_bars();
        draw_contact_links();
        draw_rings(true);
        draw_ends();
        canvas_.own(-1);
    }

  private:
    std::string part_path(PartId part) const { return layout_.model->part_names[part.index()]; }
    std::string part_name(const Element& element) const { return part_path(element.part); }

    std::string path_of(std::size_t run) const { return rounded_path(layout_.paths[run], corner_radius); }

    void draw_lines();
    void draw_rings(bool names);
    void draw_label(int index);
    void draw_element(const Node& node, const Element& element);
    void draw_rows(const Node& node, double middle, double base);
    void draw_texts_above(const Node& node, const Element& element, double middle);
    void draw_in_line(const Node& node, const Element& element);
    void draw_point(const Node& node, const Element& element);
    void draw_box(const Node& node, const Element& element);
    void draw_pennant(const Node& node, const Element& element);
    void draw_box_head(const Node& node, const Element& element);
    void draw_bars();
    void draw_contact_links();
    void draw_ends();

    Canvas& canvas_;
    const Layout& layout_;
    const Tints& tints_;
    const SquareOf& square_of_;
    std::vector<std::size_t> run_of_label_;  // by node
};

void StripDrawer::draw_lines() {
    canvas_.own(-1);
    for (std::size_t i = 0; i < layout_.runs.size(); ++i)
        draw_tint(canvas_, layout_.line(layout_.runs[i].line), path_of(i), tints_);
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
        draw_wire(canvas_, line, path_of(i));
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
    draw_flags(canvas_, node.x, base - 2.75, line.flags);
    double x = node.x + flags_width(line.flags);
    canvas_.text(x, base, line.name, label_size_mm, true);
    x += text_width(line.name, label_size_mm, true) + 1.1;
    if (const std::string tag = line.stub ? "" : tag_of(line); !tag.empty()) {
        const double width = tag_width(line);
        const auto tint = tints_.find(line.guard);
        const bool tinted = !line.unguarded && tint != tints_.end();
        canvas_.rectangle({x, base - 1.95, x + width, base + 0.4},
                          tinted ? tint->second : canvas_.palette().ink,
                          {0.16, {}, line.electronic ? "0.7 0.4" : ""}, 0.5);
        canvas_.text(x + width / 2, base - 0.12, tag, small_size, true, Anchor::middle,
                     tinted ? canvas_.palette().ink : canvas_.palette().paper);
        x += width + 1.0;
    }
    if (line.loading >= 0) draw_gauge(canvas_, x, base - 1.25, 5.4, line.loading);
    const double size = label_size_mm * 0.93;
    if (!line.stub) canvas_.text(node.x, y + half + clear + label_size_mm * 0.68, line.text, size);
    if (const Run& run = layout_.runs[run_of_label_[static_cast<std::size_t>(index)]];
        layout_.arrow_leftward(run))
        draw_arrow(canvas_, node.x + node.width - ring_width(line) - 2.6, y, wire_width(line.area_mm2));
}

// Rows above a symbol, the last one nearest to it: name and what is printed on it, then its label.
void StripDrawer::draw_texts_above(const Node& node, const Element& element, double middle) {
    double base = node.y + node.row - node.up - 0.75 - 2.75 * static_cast<double>(node.rows.size());
    const double name = text_width(element.name, designator_size, true), flags = flags_width(element.flags);
    const double beside = node.beside.empty() ? 0 : 1.2 + text_width(node.beside, rating_size);
    const double x = middle - (name + flags + beside) / 2;
    draw_flags(canvas_, x, base - 2.6, element.flags);
    canvas_.text(x + flags, base, element.name, designator_size, true);
    canvas_.text(x + flags + name + 1.2, base, node.beside, rating_size);
    draw_rows(node, middle, base);
}

void StripDrawer::draw_rows(const Node& node, double middle, double base) {
    for (const TextRow& row : node.rows)
        canvas_.text(middle, base += 2.75, row.text, row.size, false, Anchor::middle,
                     row.soft ? canvas_.palette().soft : std::string_view{});
}

void StripDrawer::draw_in_line(const Node& node, const Element& element) {
    const double x = node.x + node.width / 2 + node.shift, y = node.y + node.row;
    for (const Stretch& stretch : node.stretches) {
        const double at = landing_x(layout_, node, stretch.side);
        canvas_.line(at, node.y + stretch.top, at, node.y + stretch.bottom, {0.9});
    }
    draw_symbol(canvas_, element.symbol, x, y, node.flipped);
    if (element.on_bar >= 0)
        canvas_.line(bar_x(layout_, element.on_bar), y, x - body_size(element.symbol).length / 2, y);
    if (node.coil_row >= 0)
        draw_coil(canvas_, x, node.y + node.coil_row, body_size(element.symbol).length, y);
    if (element.form == Form::contact) {
        const double base = y - node.up - 0.5;
        const double flags = flags_width(element.flags);
        draw_flags(canvas_, x - flags / 2 - text_width(element.name, rating_size, true) / 2, base - 2.6,
                   element.flags);
        canvas_.text(x + flags / 2, base, element.name, rating_size, true, Anchor::middle);
        if (node.first)
            canvas_.text(x, base - 2.6, element.heading, small_size, false, Anchor::middle,
                         canvas_.palette().soft);
        return;
    }
    double middle = x;
    if (element.on_bar >= 0) {  // the texts stay clear of the bar at the left
        const double first = text_width(element.name, designator_size, true) + flags_width(element.flags) +
                             (node.beside.empty() ? 0 : 1.2 + text_width(node.beside, rating_size));
        const double wide = std::max(first, widest(node.rows));
        middle = std::max(x, landing_x(layout_, node, Side::left) + 1.5 + wide / 2);
    }
    draw_texts_above(node, element, middle);
}

void StripDrawer::draw_point(const Node& node, const Element& element) {
    const double x = node.x + node.width / 2;
    const Stretch& span = node.stretches.front();
    double base = node.y + 2.1;
    draw_flags(canvas_, node.x, base - 2.6, element.flags);
    canvas_.text(x + flags_width(element.flags) / 2, base, element.name, designator_size, true,
                 Anchor::middle);
    draw_rows(node, x, base);
    canvas_.line(x, node.y + span.top - 0.9, x, node.y + span.bottom + 0.9, {1.6, {}, {}, true});
    canvas_.mark_symbol({x - 0.7, node.y + span.top - 0.9, x + 0.7, node.y + span.bottom + 0.9});
    if (element.symbol == Symbol::frame) draw_frame(canvas_, x, node.y + span.bottom + 0.9);
}

void StripDrawer::draw_box_head(const Node& node, const Element& element) {
    const double x = node.x + node.width / 2;
    double base = node.y + 0.8 + designator_size * 0.8;
    const double flags = flags_width(element.flags);
    const double name = text_width(element.name, designator_size, true);
    draw_flags(canvas_, x - (name + flags) / 2, base - 2.6, element.flags);
    canvas_.text(x + flags / 2, base, element.name, designator_size, true, Anchor::middle);
    for (std::size_t i = 0; i < node.rows.size(); ++i) {
        const TextRow& row = node.rows[i];
        const bool half = element.other_half >= 0 && i + 1 == node.rows.size();
        base += row.size * 0.8 + 0.9;
        const std::string text =
            half ? (element.input_half ? "output /" : "input /") + square_of_(element.other_half) : row.text;
        canvas_.text(x, base, text, row.size, false, Anchor::middle,
                     row.soft ? canvas_.palette().soft : std::string_view{});
    }
    if (node.square >= 0) draw_square(canvas_, element.symbol, x, node.y + node.square);
}

void StripDrawer::draw_box(const Node& node, const Element& element) {
    const Box box{node.x, node.y, node.x + node.width, node.y + node.height};
    canvas_.rectangle(box, canvas_.palette().paper, {0.4}, 0.8);
    canvas_.mark_symbol({box.left + 0.1, box.top + 0.1, box.right - 0.1, box.bottom - 0.1});
    draw_box_head(node, element);
    const PinRow *plus = nullptr, *minus = nullptr;
    for (const PinRow& row : node.pin_rows) {
        const Pin& pin = element.pins[static_cast<std::size_t>(row.pin)];
        const bool left = row.side == Side::left;
        const double edge = left ? box.left : box.right, middle = node.y + (row.top + row.bottom) / 2;
        canvas_.text(edge + (left ? 1 : -1) * std::max(1.4, row.end + 0.6), middle + 0.7, pin_text(pin.name),
                     small_size, false, left ? Anchor::start : Anchor::end, canvas_.palette().soft);
        if (row.bottom > row.top) canvas_.line(edge, node.y + row.top, edge, node.y + row.bottom, {1.1});
        if (row.side == Side::right && pin.name == "+") plus = &row;
        if (row.side == Side::right && pin.name == "-") minus = &row;
    }
    if (element.symbol == Symbol::pack && plus && minus && minus->top - plus->top > 9)
        draw_cells(canvas_, node.x + node.width / 2 - 2.5, node.y + plus->top, node.y + minus->top,
                   box.right - 4.0);
}

void StripDrawer::draw_pennant(const Node& node, const Element& element) {
    const double y = node.y + node.row, left = node.x, right = node.x + node.width;
    const double sign = node.flipped ? 1 : -1, back = node.flipped ? left : right,
                 tip = node.flipped ? right : left;
    canvas_.path("M" + number(back) + ' ' + number(y - 1.9) + "L" + number(tip - sign * 1.8) + ' ' +
                     number(y - 1.9) + "L" + number(tip) + ' ' + number(y) + "L" + number(tip - sign * 1.8) +
                     ' ' + number(y + 1.9) + "L" + number(back) + ' ' + number(y + 1.9) + "z",
                 {0.3}, canvas_.palette().paper);
    canvas_.mark_symbol({left + 0.1, y - 1.9, right - 0.1, y + 1.9});
    const std::string square = square_of_(element.goes_on_at);
    canvas_.text((left + right) / 2 - sign * 0.7, y + 0.8,
                 pin_text(element.name) + (square.empty() ? "" : " /" + square), rating_size, true,
                 Anchor::middle);
}

void StripDrawer::draw_element(const Node& node, const Element& element) {
    switch (element.form) {
        case Form::symbol:
        case Form::contact:
            return draw_in_line(node, element);
        case Form::point:
            return draw_point(node, element);
        case Form::box:
            return draw_box(node, element);
        case Form::bar:
        case Form::pennant:
            return;
    }
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
        canvas_.open_group("data-part", part_name(element), element.title);
        canvas_.line(x, top, x, bottom, {1.6, {}, {}, true});
        canvas_.mark_symbol({x - 0.7, top, x + 0.7, bottom});
        // The name stands on the side with fewer landings: right of a collecting bar, else left.
        const Side side = element.collects ? Side::right : Side::left;
        double gap_top = top, gap_bottom = bottom, before = top;
        double widest = 0;
        for (const auto& [y, node] : landings) {
            bool taken = false;
            for (const Landing& landing : layout_.node(node).landings)
                taken = taken || (landing.side == side && layout_.node(node).type == NodeType::landing);
            if (!taken) continue;
            if (y - before > widest) widest = y - before, gap_top = before, gap_bottom = y;
            before = y;
        }
        if (bottom - before > widest) gap_top = before, gap_bottom = bottom;
        const std::string full = element.rating.empty() ? element.name : element.name + "  " + element.rating;
        const bool fits = text_width(full, rating_size, true) < gap_bottom - gap_top - 2.5;
        const double middle = (gap_top + gap_bottom) / 2;
        canvas_.upright_text(side == Side::right ? x + 3.4 : x - 1.6, middle, fits ? full : element.name,
                             fits ? rating_size : designator_size, true);
        draw_flags(canvas_, x + (side == Side::right ? 1.6 : -1.6 - flags_width(element.flags)), top - 3.4,
                   element.flags);
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
        if (layout_.element(node).form == Form::contact)
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
            const double x = upper.x + upper.width / 2 + (upper.flipped ? -0.35 : 0.35) * module_mm;
            const double from = upper.y + upper.row + 0.3 * module_mm + 0.4, to = lower.y + 0.2;
            if (to > from) canvas_.line(x, from, x, to, {0.3, {}, "1.1 0.8"});
        }
    }
}

void StripDrawer::draw_ends() {
    for (std::size_t i = 0; i < layout_.runs.size(); ++i) {
        const double radius = end_radius(layout_.line(layout_.runs[i].line));
        const Run& run = layout_.runs[i];
        const auto circle = [&](int node, const Point& end) {
            if (layout_.element(layout_.node(node)).form != Form::pennant)
                canvas_.circle(end.x, end.y, radius, canvas_.palette().paper, {0.3});
        };
        circle(run.nodes.front(), layout_.paths[i].front());
        circle(run.nodes.back(), layout_.paths[i].back());
    }
}

}  // namespace

void draw_strip(Canvas& canvas, const Layout& layout, const Tints& tints, const SquareOf& square_of) {
    StripDrawer(canvas, layout, tints, square_of).draw();
}

double draw_unwired(Canvas& canvas, const SheetModel& model, double width) {
    double x = 0, y = 0, row = 0;
    int owner = 1000000;  // no node has it
    for (const int index : model.unwired) {
        const Element& element = model.elements[static_cast<std::size_t>(index)];
        const std::string rating = cropped(element.rating, rating_size, false, 34);
        const std::string label = cropped(element.label, small_size, false, 34);
        const double flags = flags_width(element.flags);
        const double name = text_width(element.name, designator_size, true);
        const double wide = std::max(
            {15.0, name + flags + 4, text_width(rating, rating_size) + 3, text_width(label, small_size) + 3});
        const double high = 4.4 + (rating.empty() ? 0 : 2.8) + (label.empty() ? 0 : 2.6);
        if (x > 0 && x + wide > width) x = 0, y += row + 2, row = 0;
        canvas.own(owner++);
        canvas.open_group("data-part", model.part_names[element.part.index()], element.title);
        canvas.rectangle({x, y, x + wide, y + high}, canvas.palette().paper, {0.4, {}, "1.2 0.8"}, 0.8);
        canvas.mark_symbol({x, y, x + wide, y + high});
        double base = y + 3;
        draw_flags(canvas, x + (wide - name - flags) / 2, base - 2.6, element.flags);
        canvas.text(x + wide / 2 + flags / 2, base, element.name, designator_size, true, Anchor::middle);
        if (!rating.empty())
            canvas.text(x + wide / 2, base += 2.8, rating, rating_size, false, Anchor::middle);
        if (!label.empty())
            canvas.text(x + wide / 2, base + 2.6, label, small_size, false, Anchor::middle,
                        canvas.palette().soft);
        canvas.close_group();
        x += wide + 2;
        row = std::max(row, high);
    }
    canvas.own(-1);
    return model.unwired.empty() ? 0 : y + row;
}

}  // namespace loomward::sheet
