// Nodes with their sizes and landings. Several wires on one face of a pin land on a short dark bar, the
// thickest on the symbol's own row; a wire from the wrong side passes under the symbol, inside its node.
#include <algorithm>
#include <cmath>
#include <limits>

#include "render/sheet/layout/sheet_node_maker.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

constexpr double text_row = 2.75;  // one row of text above a symbol

}  // namespace

void NodeMaker::mark_first_contacts() {
    first_contact_.assign(model_.elements.size(), false);
    if (!taught()) return;
    std::map<int, std::pair<double, int>> topmost;
    for (const int index : strip_.elements) {
        if (model_.elements[static_cast<std::size_t>(index)].form != Form::contact) continue;
        double top = std::numeric_limits<double>::max();
        for (const LineEnd& end : ends_at(index)) top = std::min(top, own(end));
        const auto [entry, fresh] =
            topmost.try_emplace(columns_.group_of[static_cast<std::size_t>(index)], top, index);
        if (!fresh && top < entry->second.first) entry->second = {top, index};
    }
    for (const auto& [group, best] : topmost) first_contact_[static_cast<std::size_t>(best.second)] = true;
}

void NodeMaker::add_element(int index) {
    switch (model_.elements[static_cast<std::size_t>(index)].form) {
        case Form::bar:
            return add_bar(index);
        case Form::point:
            return add_point(index);
        case Form::symbol:
        case Form::contact:
            return add_symbol(index);
        case Form::box:
            return add_box(index);
        case Form::pennant:
            return add_pennant(index);
    }
}

// A bar is as many small nodes as it has landings; the layout chooses their order. One of them keeps room for
// the flags, one below the other.
void NodeMaker::add_bar(int index) {
    for (const LineEnd& end : ends_at(index)) {
        Node node = node_for(index);
        node.type = NodeType::landing;
        node.cluster = index;
        node.width = 2.2;
        node.height = std::max(2.6, wire_width(line(end).area_mm2) + 1.2);
        node.row = node.height / 2;
        if (const auto& flags = model_.elements[static_cast<std::size_t>(index)].flags;
            !flags.empty() && &end == &ends_at(index).front()) {
            node.flags = flag_row * static_cast<double>(std::min(flags.size(), flags_shown + 1));
            node.row += node.flags;
            node.height += node.flags;
            node.width = 2 * (bar_flags + flag_advance(flags.back().number));
        }
        land(node, end, side(end), node.row);
        push(std::move(node));
    }
}

void NodeMaker::add_point(int index) {
    const Element& element = model_.elements[static_cast<std::size_t>(index)];
    Node node = node_for(index);
    add_rows(node.rows, element.label, true, 17);
    node.width =
        std::max(text_width(element.name, designator_size, true) + flags_room(element), widest(node.rows)) +
        1;
    std::vector<LineEnd> faces[2];
    double above = 1.2;
    for (const LineEnd& end : ends_at(index))
        faces[side(end) == Side::right].push_back(end),
            above = std::max(above, half(end) + clearance(line(end)));
    const double top = static_cast<double>(node.rows.size() + 1) * text_row + 0.3 + above;
    std::vector<double> heights[2];
    double bottom = top;
    for (const int face : {0, 1}) {
        sort_by_height(faces[face]);
        heights[face] = stacked(faces[face], top);
        if (!heights[face].empty()) bottom = std::max(bottom, heights[face].back());
    }
    for (const int face : {0, 1})
        for (std::size_t i = 0; i < faces[face].size(); ++i)  // the smaller face in the middle of the larger
            land(node, faces[face][i], face ? Side::right : Side::left,
                 heights[face][i] + (bottom - heights[face].back()) / 2);
    node.row = top;
    node.stretches.push_back({Side::left, top, bottom});
    node.height = bottom + (element.symbol == Symbol::frame ? 5.2 : 1.4);
    push(std::move(node));
}

// A load whose return runs on to a collecting bar stands in one column with the others of that bar.
bool NodeMaker::in_load_column(int element) const {
    const auto index = static_cast<std::size_t>(element);
    if (carrier_of(model_.elements[index]) >= 0 || !guests_at(element).empty()) return false;
    const auto& ends = ends_at(element);
    return std::any_of(ends.begin(), ends.end(), [&](const LineEnd& end) {
        return line(end).collected && line(end).tail().element == element &&
               model_.elements[static_cast<std::size_t>(element)].form == Form::symbol;
    });
}

void NodeMaker::symbol_texts(Node& node, const Element& element) const {
    const BodySize body = body_size(element.symbol);
    if (element.form == Form::contact) {
        node.width = text_width(element.name, rating_size, true) + flags_room(element) + 1;
        node.first = first_contact_[static_cast<std::size_t>(node.element)];
        if (node.first) node.width = std::max(node.width, text_width(element.heading, small_size) + 1);
        node.width = std::max(node.width, body.length);
        return;
    }
    const double flags = flags_room(element);
    const double name = text_width(element.name, designator_size, true) + flags;
    const double rating = text_width(element.rating, rating_size);
    // Loads that share a column may be wide; rows close to each other matter more there.
    const bool in_column = in_load_column(node.element);
    const bool one_row = element.rating.empty() || name + 1.2 + rating <= body.length + (in_column ? 16 : 9);
    double width = name;
    if (!element.rating.empty() && one_row) node.beside = element.rating, width = name + 1.2 + rating;
    if (!one_row) add_rows(node.rows, element.rating, false, 19);
    if (const double label = text_width(element.label, rating_size);
        in_column && one_row && !element.label.empty() && width + 1.2 + label < 30) {
        node.beside += (node.beside.empty() ? "" : "  ") + element.label;
        width = name + 1.2 + text_width(node.beside, rating_size);
    } else {
        add_rows(node.rows, element.label, true, 19);
    }
    width = std::max(width, widest(node.rows));
    node.width = std::max(body.length, width) + 1.2;
    if (element.on_bar >= 0) {
        const bool left = element.left_of_bar;
        // Devices on both sides of a bar share its column: those at the left reach across its middle.
        const bool both = left && std::any_of(strip_.elements.begin(), strip_.elements.end(), [&](int each) {
                              const Element& other = model_.elements[static_cast<std::size_t>(each)];
                              return other.on_bar == element.on_bar && !other.left_of_bar;
                          });
        node.shift = both ? 1.9 - 2 * seat_reach : left ? -1.9 : 1.9;
        node.width = std::max(node.width, 2 * (width + 1.4 - body.length / 2) + 0.4) + 3.8;
        if (both) node.width = 2 * (seat_reach - 1.9 + std::max(seat_reach + body.length / 2, width + 1.9));
    }
}

// Landings of one pair of pins on a row; moves `bottom` below everything it needs.
void NodeMaker::land_pair(Node& node, int first_pin, int second_pin, double row, double& bottom, bool main) {
    const int pins[2] = {first_pin, second_pin};
    std::vector<LineEnd> good[2], bad[2];
    double lowest[2] = {row, row}, highest[2] = {row, row};  // by side of the pin
    Side home[2];
    for (const int k : {0, 1}) {
        if (pins[k] < 0) continue;
        home[k] = (k == 0) != node.flipped ? Side::left : Side::right;
        for (const LineEnd& end : ends_at(node.element))
            if (pin(end) == pins[k]) (side(end) == home[k] ? good[k] : bad[k]).push_back(end);
        sort_by_height(good[k]);
        sort_by_height(bad[k]);
        std::size_t thickest = 0;
        if (main)
            for (std::size_t i = 1; i < good[k].size(); ++i)
                if (line(good[k][i]).area_mm2 > line(good[k][thickest]).area_mm2) thickest = i;
        std::vector<double> ys = stacked(good[k], row);
        const double lift = ys.empty() ? 0 : ys[thickest] - row;
        for (std::size_t i = 0; i < ys.size(); ++i) {
            land(node, good[k][i], home[k], ys[i] - lift);
            highest[k] = std::min(highest[k], ys[i] - lift);
            lowest[k] = std::max(lowest[k], ys[i] - lift);
            bottom = std::max(bottom, ys[i] - lift + 1.6);
        }
    }
    for (const int k : {0, 1}) {
        double y = 0;
        for (std::size_t i = 0; i < bad[k].size(); ++i) {
            const LineEnd& end = bad[k][i];
            if (i == 0) {
                y = std::max(bottom + half(end) + 0.9, lowest[1 - k] + size(end).above + 2.6);
                if (taught() && !good[1 - k].empty())  // a little nearer to where its label wants to be
                    y = std::max(y, std::min(row + beyond(end) - beyond(good[1 - k][0]), y + 5));
            } else {
                y += pitch(bad[k][i - 1], end);
            }
            land(node, end, side(end), y);
            node.unders.push_back({node.landings.back().line, end.at_from, home[k], y});
            bottom = std::max(bottom, y + half(end) + 1.2);
            lowest[k] = std::max(lowest[k], y);
        }
        if (pins[k] >= 0 && (lowest[k] > row || highest[k] < row))
            node.stretches.push_back({home[k], highest[k], lowest[k]});
    }
}

Node NodeMaker::symbol_node(int index, const GuestForm* guest) {
    const Element& element = model_.elements[static_cast<std::size_t>(index)];
    const auto& ends = ends_at(index);
    Node node = node_for(index);
    node.cluster = element.on_bar;
    int pins[4] = {-1, -1, -1, -1}, mains = 0, coils = 0;
    for (std::size_t i = 0; i < element.pins.size(); ++i) {
        if (element.pins[i].coil && coils < 2) pins[2 + coils++] = static_cast<int>(i);
        if (!element.pins[i].coil && mains < 2) pins[mains++] = static_cast<int>(i);
    }
    int agree = 0, disagree = 0;
    double clear = 0, above = 0, agree_y = 0, disagree_y = 0;
    std::vector<LineEnd> faces[2];
    for (const LineEnd& end : ends) {
        const bool coil = pin(end) == pins[2] || pin(end) == pins[3];
        if (coil) continue;
        const Side home = pin(end) == pins[0] ? Side::left : Side::right;
        ++(side(end) == home ? agree : disagree);
        (side(end) == home ? agree_y : disagree_y) += beyond(end);
        clear = std::max(clear, half(end) + clearance(line(end)) - 0.15);
        faces[pin(end) == pins[0]].push_back(end);
    }
    // Of two lines on one side, the one from above takes the upper row.
    const bool upside_down = taught() && agree == 1 && disagree == 1 && disagree_y < agree_y;
    node.flipped = disagree > agree || upside_down;
    if (element.on_bar >= 0) node.flipped = (element.seat_pin == pins[0]) == element.left_of_bar;
    if (guest) node.flipped = (element.own_pin == pins[0]) == (guest->touches == Side::right);
    for (auto& face : faces) {  // thinner taps may stand above the thickest wire's row
        sort_by_height(face);
        std::size_t thickest = 0;
        for (std::size_t i = 1; i < face.size(); ++i)
            if (line(face[i]).area_mm2 > line(face[thickest]).area_mm2) thickest = i;
        double lift = thickest > 0 ? half(face[0]) + clearance(line(face[0])) : 0;
        for (std::size_t i = 0; i < thickest; ++i) lift += pitch(face[i], face[i + 1]);
        above = std::max(above, lift);
    }
    symbol_texts(node, element);
    const BodySize body = body_size(element.symbol);
    node.texts_below = guest && guest->texts_below;
    const bool wide = node.width > body.length - 2;
    node.up = std::max({body.up, above, wide && !node.texts_below ? clear : 0});
    node.down = std::max(body.down, clear);
    const double texts = element.form == Form::contact
                             ? 2.45 + (node.first && !element.heading.empty() ? 2.6 : 0) +
                                   (flags_room(element) > 0 ? flag_lift : 0)
                             : static_cast<double>(node.rows.size() + 1) * text_row;
    const bool coil_wired = std::any_of(ends.begin(), ends.end(), [&](const LineEnd& end) {
        return pins[2] >= 0 && (pin(end) == pins[2] || pin(end) == pins[3]);
    });
    double coil_clear = 1.5 * module_mm;
    for (const LineEnd& end : ends)
        if (pins[2] >= 0 && (pin(end) == pins[2] || pin(end) == pins[3]))
            coil_clear = std::max(coil_clear, size(end).above);
    const bool coil_above = coil_wired && has_guests_below(index, node);
    node.row = (node.texts_below ? 0.2 : texts + 0.35) + node.up;
    if (coil_above) {
        node.coil_row = texts + 0.35 + std::max(1.3 * module_mm, coil_clear - texts);
        double bottom = node.coil_row + 1.5 * module_mm;
        land_pair(node, pins[2], pins[3], node.coil_row, bottom, false);
        node.row = bottom + 0.3 + node.up;
        node.up = node.row - texts - 0.35;
    }
    double bottom = node.row + node.down + 0.4;
    land_pair(node, pins[0], pins[1], node.row, bottom, true);
    if (coil_wired && !coil_above) {
        node.coil_row = bottom + coil_clear;
        bottom = node.coil_row + 1.5 * module_mm;
        land_pair(node, pins[2], pins[3], node.coil_row, bottom, false);
    }
    if (node.texts_below) bottom += texts + 0.4;
    node.height = bottom;
    if (guest) shift_texts(node, element, *guest);
    return node;
}

void NodeMaker::add_symbol(int index) {
    push(symbol_node(index, nullptr));
    add_symbol_guests(index);
}

Layout make_nodes(const SheetModel& model, const Strip& strip, const Columns& columns,
                  const Heights& heights) {
    return NodeMaker(model, strip, columns, heights).make();
}

}  // namespace loomward::sheet
