// Parts: symbols in line, points, boxes, pennants; and those no wire leads to.
#include <algorithm>
#include <numeric>

#include "render/sheet/draw/sheet_strip_drawer.hpp"
#include "render/sheet/draw/symbols.hpp"
#include "render/sheet/layout/sheet_route.hpp"
#include "render/sheet/pages/sheet_unwired.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
// Rows above a symbol, the last one nearest to it: name and what is printed on it, then its label.
void StripDrawer::draw_texts_above(const Node& node, const Element& element, double middle) {
    double base = node.y + node.row - node.up - 0.75 - 2.75 * static_cast<double>(node.rows.size());
    if (node.texts_below) base = node.y + node.row + node.down + 2.7;
    const double name = text_width(element.name, designator_size, true), flags = flags_room(element);
    const double beside = node.beside.empty() ? 0 : 1.2 + text_width(node.beside, rating_size);
    const double x = middle - (name + flags + beside) / 2;
    draw_flags(canvas_, x + spare_room(element), base, element.flags);
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
        // With one wire on it no more than the symbol's own lead, which must not look like a black wire.
        const auto wires = std::count_if(node.landings.begin(), node.landings.end(),
                                         [&](const Landing& each) { return each.side == stretch.side; });
        const double at = landing_x(layout_, node, stretch.side);
        canvas_.line(at, node.y + stretch.top, at, node.y + stretch.bottom,
                     {wires > 1 ? 0.9 : Stroke{}.width});
    }
    draw_symbol(canvas_, element.symbol, element.shape, x, y, node.flipped);
    if (element.on_bar >= 0) {
        const double half = body_size(element.symbol).length / 2;
        canvas_.line(bar_x(layout_, element.on_bar), y, element.left_of_bar ? x + half : x - half, y);
    }
    for (const Box& lead : node.leads)
        canvas_.line(node.x + lead.left, node.y + lead.top, node.x + lead.right, node.y + lead.bottom);
    for (const Box& link : node.links)
        canvas_.line(node.x + link.left, node.y + link.top, node.x + link.right, node.y + link.bottom, {0.9});
    if (node.coil_row >= 0)
        draw_coil(canvas_, element.shape, x, node.y + node.coil_row, body_size(element.symbol).length, y);
    if (element.form == Form::contact) {
        const double base = y - node.up - 0.5 - (flags_room(element) > 0 ? flag_lift : 0);
        const double flags = flags_room(element), at = x + node.text_middle;
        draw_flags(canvas_,
                   spare_room(element) + at - flags / 2 - text_width(element.name, rating_size, true) / 2,
                   base, element.flags);
        canvas_.text(at + flags / 2, base, element.name, rating_size, true, Anchor::middle);
        if (node.first)
            canvas_.text(at, base - 2.9, element.heading, small_size, false, Anchor::middle,
                         canvas_.palette().soft);
        return;
    }
    double middle = x + node.text_middle;
    if (element.on_bar >= 0) {  // the texts stay clear of the bar
        const double first = text_width(element.name, designator_size, true) + flags_room(element) +
                             (node.beside.empty() ? 0 : 1.2 + text_width(node.beside, rating_size));
        const double wide = std::max(first, widest(node.rows)), bar = bar_x(layout_, element.on_bar);
        middle = element.left_of_bar ? std::min(x, bar - 1.5 - wide / 2) : std::max(x, bar + 1.5 + wide / 2);
    }
    draw_texts_above(node, element, middle);
}

void StripDrawer::draw_point(const Node& node, const Element& element) {
    const double x = node.x + node.width / 2;
    const Stretch& span = node.stretches.front();
    double base = node.y + 2.1;
    const double flags = flags_room(element);
    draw_flags(canvas_,
               spare_room(element) + x - (text_width(element.name, designator_size, true) + flags) / 2, base,
               element.flags);
    canvas_.text(x + flags / 2, base, element.name, designator_size, true, Anchor::middle);
    draw_rows(node, x, base);
    canvas_.line(x, node.y + span.top - 0.9, x, node.y + span.bottom + 0.9, {1.6, {}, {}, true});
    canvas_.mark_symbol({x - 0.7, node.y + span.top - 0.9, x + 0.7, node.y + span.bottom + 0.9});
    if (element.symbol == Symbol::frame) draw_frame(canvas_, x, node.y + span.bottom + 0.9);
}

void StripDrawer::draw_box_head(const Node& node, const Element& element) {
    const double x = node.x + node.width / 2;
    double base = node.y + 0.8 + designator_size * 0.8;
    const double flags = flags_room(element);
    const double name = text_width(element.name, designator_size, true);
    draw_flags(canvas_, spare_room(element) + x - (name + flags) / 2, base, element.flags);
    canvas_.text(x + flags / 2, base, element.name, designator_size, true, Anchor::middle);
    for (std::size_t i = 0; i < node.rows.size(); ++i) {
        const TextRow& row = node.rows[i];
        const bool half = element.other_half >= 0 && i + 1 == node.rows.size();
        base += row.size * 0.8 + 0.9;
        const std::string text =
            half ? (element.input_half ? "output /" : "input /") + square_of_(node.element) : row.text;
        const double wide = text_width(text, row.size) / 2;
        if (half)
            canvas_.open_reference({x - wide, base - row.size, x + wide, base + 0.5},
                                   element_target(element.other_half));
        canvas_.text(x, base, text, row.size, false, Anchor::middle,
                     row.soft ? canvas_.palette().soft : std::string_view{});
        if (half) canvas_.close_reference();
    }
    if (node.square >= 0 && shows_change_over(element))
        draw_change_over(
            canvas_,
            {only_pin(element, TerminalRole::com)->name, only_pin(element, TerminalRole::nc)->name,
             only_pin(element, TerminalRole::no)->name, element.shape.closed},
            x, node.y + node.square);
    else if (node.square >= 0)
        draw_square(canvas_, element.symbol, element.shape, x, node.y + node.square);
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
        canvas_.text(edge + (left ? 1 : -1) * std::max(1.4, row.end + 0.6), middle + 0.7, pin.name,
                     small_size, false, left ? Anchor::start : Anchor::end, canvas_.palette().soft);
        if (row.bottom > row.top) canvas_.line(edge, node.y + row.top, edge, node.y + row.bottom, {1.1});
        if (row.side == Side::right && pin.role == TerminalRole::plus) plus = &row;
        if (row.side == Side::right && pin.role == TerminalRole::minus) minus = &row;
    }
    if (element.symbol == Symbol::pack && plus && minus && minus->top - plus->top > 9)
        draw_cells(canvas_, node.x + node.width / 2 - 2.5, node.y + plus->top, node.y + minus->top,
                   box.right - 4.0);
}

void StripDrawer::draw_pennant(const Node& node, const Element& element) {
    // Its line arrives at the back; an arrow head, where there is one, stands on the line before it.
    const double left = node.x + (node.flipped ? node.shift : 0),
                 right = node.x + node.width - (node.flipped ? 0 : node.shift);
    const double y = node.y + node.row, half = std::max(1.9, node.height / 2 - 0.2);
    const double sign = node.flipped ? 1 : -1, back = node.flipped ? left : right,
                 tip = node.flipped ? right : left;
    canvas_.open_reference({left, y - half, right, y + half}, element_target(element.goes_on_at));
    canvas_.path("M" + number(back) + ' ' + number(y - half) + "L" + number(tip - sign * 1.8) + ' ' +
                     number(y - half) + "L" + number(tip) + ' ' + number(y) + "L" + number(tip - sign * 1.8) +
                     ' ' + number(y + half) + "L" + number(back) + ' ' + number(y + half) + "z",
                 {0.3}, canvas_.palette().paper);
    canvas_.mark_symbol({left + 0.1, y - half, right - 0.1, y + half});
    const std::string square = square_of_(node.element);
    const std::string place = element.name + (square.empty() ? "" : " /" + square);
    if (element.of_stub) {
        const Line& line = layout_.line(node.landings.front().line);
        const double name = text_width(line.name, label_size_mm, true);
        const double begin =
            (left + right) / 2 - sign * 0.7 - (name + 1.2 + text_width(place, rating_size)) / 2;
        canvas_.text(begin, y + 0.8, line.name, label_size_mm, true);
        canvas_.text(begin + name + 1.2, y + 0.8, place, rating_size);
        if (node.shift > 0)
            draw_arrow(canvas_, node.flipped ? left - 2.6 : right + 0.5, y, wire_width(line.area_mm2));
    } else {
        canvas_.text((left + right) / 2 - sign * 0.7, y + 0.8, place, rating_size, true, Anchor::middle);
    }
    canvas_.close_reference();
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

void draw_unwired(Canvas& canvas, const SheetModel& model, double width) {
    int owner = 1000000;  // no node has it
    for (const UnwiredBox& each : place_unwired(model, width)) {
        const Element& element = model.elements[static_cast<std::size_t>(each.element)];
        const Box& box = each.box;
        const double middle = (box.left + box.right) / 2;
        canvas.own(owner++);
        canvas.open_group("data-part", model.part_names[element.part.index()], element.title);
        canvas.rectangle(box, canvas.palette().paper, {0.4, {}, "1.2 0.8"}, 0.8);
        canvas.mark_symbol(box);
        double base = box.top + 3;
        const double flags = flags_room(element);
        const double name = text_width(element.name, designator_size, true);
        draw_flags(canvas, spare_room(element) + box.left + (box.width() - name - flags) / 2, base,
                   element.flags);
        canvas.text(middle + flags / 2, base, element.name, designator_size, true, Anchor::middle);
        if (!each.rating.empty())
            canvas.text(middle, base += 2.8, each.rating, rating_size, false, Anchor::middle);
        if (!each.label.empty())
            canvas.text(middle, base + 2.6, each.label, small_size, false, Anchor::middle,
                        canvas.palette().soft);
        canvas.close_group();
    }
    canvas.own(-1);
}

}  // namespace loomward::sheet
