// Boxes with named pins on both faces, and pennants.
#include <algorithm>
#include <cmath>
#include <limits>

#include "render/sheet/layout/sheet_node_maker.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {

namespace {

// Beside the contact inside: twice the widest name, since the contact stands in the middle.
double change_over_names(const Element& element) {
    double widest = 0;
    for (const TerminalRole role : {TerminalRole::com, TerminalRole::no, TerminalRole::nc})
        widest = std::max(widest, text_width(only_pin(element, role)->name, small_size));
    return 2 * widest - 6;
}

}  // namespace

void NodeMaker::box_texts(Node& node, const Element& element, double& head, double& width) const {
    head = 0.8 + designator_size * 0.8;
    add_rows(node.rows, element.rating, false, 24);
    add_rows(node.rows, element.label, true, 20);
    if (element.other_half >= 0)
        node.rows.push_back(
            {(element.input_half ? "output /" : "input /") + model_.widest_square, small_size, true});
    for (const TextRow& row : node.rows) head += row.size * 0.8 + 0.9;
    width = std::max({15.0, text_width(element.name, designator_size, true) + flags_room(element) + 4,
                      widest(node.rows) + 3});
    head += 1.2;
    switch (element.symbol) {
        case Symbol::controller:
        case Symbol::converter:
        case Symbol::charger:
        case Symbol::inverter:
        case Symbol::motor:
            node.square = head;
            head += 9.0;
            break;
        case Symbol::relay:
        case Symbol::contactor:
            if (!shows_change_over(element)) break;
            node.square = head;
            head += 9.4;
            width = std::max(width, 18 + change_over_names(element));
            break;
        case Symbol::pack:
            width = std::max(width, 21.0);
            break;
        default:
            break;
    }
}

// Pins with wires on one face, from `head` down; gives the height of the last landing.
double NodeMaker::land_face(Node& node, const Element& element, Side face, double head) {
    std::map<int, std::vector<LineEnd>> by_pin;
    for (const LineEnd& end : ends_at(node.element))
        if (side(end) == face) by_pin[pin(end)].push_back(end);
    std::map<int, std::vector<int>> guests;  // by pin
    for (const int guest : guests_at(node.element)) {
        const Element& each = model_.elements[static_cast<std::size_t>(guest)];
        if ((each.looks_right ? Side::right : Side::left) != face) continue;
        guests[each.host_pin].push_back(guest);
        by_pin[each.host_pin];
        if (each.across >= 0) by_pin[each.across];
    }
    std::vector<int> pins;
    std::map<int, double> middle;
    for (auto& [each, ends] : by_pin) {
        sort_by_height(ends);
        std::vector<LineEnd> all = ends;
        for (const int guest : guests[each])
            for (const LineEnd& end : ends_at(guest)) all.push_back(end);
        for (const LineEnd& end : all) middle[each] += own(end) / static_cast<double>(all.size());
        pins.push_back(each);
    }
    const bool fixed = element.symbol == Symbol::pack || element.symbol == Symbol::converter ||
                       element.symbol == Symbol::charger || element.symbol == Symbol::inverter;
    if (!fixed)
        std::stable_sort(pins.begin(), pins.end(), [&](int a, int b) { return middle[a] < middle[b]; });
    const auto place_of = [&](TerminalRole role) {
        return std::find_if(pins.begin(), pins.end(),
                            [&](int p) { return element.pins[static_cast<std::size_t>(p)].role == role; });
    };
    if (const auto plus = place_of(TerminalRole::plus), minus = place_of(TerminalRole::minus);
        plus != pins.end() && minus < plus)
        std::iter_swap(plus, minus);
    for (const auto& [host_pin, list] : guests)  // what lies across two pins keeps them together
        for (const int guest : list) {
            const int far = model_.elements[static_cast<std::size_t>(guest)].across;
            if (far < 0) continue;
            pins.erase(std::find(pins.begin(), pins.end(), far));
            pins.insert(std::find(pins.begin(), pins.end(), host_pin) + 1, far);
        }
    const double reach = element.symbol == Symbol::pack ? 30 : element.symbol == Symbol::controller ? 28 : 14;
    double y = head;
    const LineEnd* before = nullptr;
    double below = -1;  // what the last landing or guest needs below it; below 0: nothing stands above
    for (const int each : pins) {
        PinRow row{each, face, 0, 0, 0};
        for (std::size_t i = 0; i < by_pin[each].size(); ++i) {
            const LineEnd& end = by_pin[each][i];
            if (!before) {
                y = below < 0 ? head + std::max(1.6, size(end).above - 2.5)
                              : y + below + heights_.gap + size(end).above;
            } else {
                double step = pitch(*before, end);
                if (element.symbol == Symbol::pack && i == 0) step = std::max(step, 11.0);
                if (taught())
                    step = std::max(step, std::min(beyond(end) - beyond(*before), i ? 10.0 : reach));
                y += step;
            }
            land(node, end, face, y);
            if (i == 0) row.top = y;
            row.bottom = y;
            row.end = std::max(row.end, end_radius(line(end)));
            before = &by_pin[each][i];
            below = size(end).below;
        }
        for (const int guest : guests[each]) {
            const GuestForm form{other(face), false};
            const Node size = symbol_node(guest, &form);
            y = below < 0 ? std::max(head + 1.6, size.row) : y + below + heights_.gap + size.row;
            face_guests_.push_back({guest, face, y});
            if (by_pin[each].empty() && guest == guests[each].front()) row.top = y;
            row.bottom = y;
            below = size.height - size.row;
            before = nullptr;
        }
        if (by_pin[each].empty() && guests[each].empty()) {
            y += (below < 0 ? 1.6 : below) + 1.2;
            row.top = row.bottom = y;
            below = 1.6;
            before = nullptr;
        }
        node.pin_rows.push_back(row);
    }
    return y;
}

void NodeMaker::add_box(int index) {
    const Element& element = model_.elements[static_cast<std::size_t>(index)];
    Node node = node_for(index);
    double head = 0, width = 0;
    box_texts(node, element, head, width);
    face_guests_.clear();
    double pin_width[2] = {0, 0};
    for (const LineEnd& end : ends_at(index)) {
        double& widest = pin_width[side(end) == Side::right];
        widest = std::max(widest,
                          end_radius(line(end)) +
                              text_width(element.pins[static_cast<std::size_t>(pin(end))].name, small_size));
    }
    for (const int guest : guests_at(index)) {
        const Element& each = model_.elements[static_cast<std::size_t>(guest)];
        double& widest = pin_width[each.looks_right];
        widest = std::max(
            widest, 1 + text_width(element.pins[static_cast<std::size_t>(each.host_pin)].name, small_size));
    }
    node.width = std::max(width, pin_width[0] + pin_width[1] + 6);
    const double left = land_face(node, element, Side::left, head);
    const double right = land_face(node, element, Side::right, head);
    node.height = std::max(left, right) + 2.0;
    const double box_width = node.width;
    const std::size_t host = layout_.nodes.size();
    push(std::move(node));
    const std::vector<FaceGuest> guests = std::move(face_guests_);
    for (const FaceGuest& guest : guests) {
        const double face = guest.face == Side::left ? 0 : box_width;
        add_guest(guest.element, host, {other(guest.face), false}, {face, guest.row}, guest.row);
        add_lead_across(guest.element, host, face);
    }
}

// The pennant of a stub carries the name of its line, and room for the arrow head.
void NodeMaker::add_pennant(int index) {
    const Element& element = model_.elements[static_cast<std::size_t>(index)];
    Node node = node_for(index);
    node.width = pennant_width(element.name, model_.widest_square);
    node.height = 4.2;
    node.row = 2.1;
    for (const LineEnd& end : ends_at(index)) {
        node.height = std::max(node.height, wire_width(line(end).area_mm2) + 1.5);
        node.row = node.height / 2;
        node.flipped = side(end) == Side::left;  // it points away from its line
        if (element.of_stub) {
            node.width += text_width(line(end).name, label_size_mm, true) + 1.2;
            if (layout_.arrow_leftward(run(end.position))) node.shift = 3.4;
            node.width += node.shift;
        }
        land(node, end, side(end), node.row);
    }
    push(std::move(node));
}

// The lead from the other end of a guest back to its host's second pin.
void NodeMaker::add_lead_across(int guest, std::size_t host_node, double face) {
    const int far = model_.elements[static_cast<std::size_t>(guest)].across;
    if (far < 0) return;
    Node& node = layout_.nodes.back();
    const double half = body_size(model_.elements[static_cast<std::size_t>(guest)].symbol).length / 2;
    const double middle = node.width / 2 + node.shift, touch = face - node.carrier_dx;
    const double end = std::abs(middle - half - touch) < 0.01 ? middle + half : middle - half;
    for (const PinRow& row : layout_.nodes[host_node].pin_rows)
        if (row.pin == far) {
            const double y = row.top - node.carrier_dy;
            node.leads = {{end, node.row, end, y}, {end, y, touch, y}};
        }
}

}  // namespace loomward::sheet
