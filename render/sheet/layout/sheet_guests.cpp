// Parts that touch the part they are bolted to. A guest that leads on in the direction its host's pin looks
// stands in line with it, or a little below where a wire goes on there; one that leads back stands under its
// host, end under end. Nowhere is the joint between them longer than a few millimetres.
#include <algorithm>
#include <cmath>

#include "render/sheet/layout/sheet_node_maker.hpp"
#include "render/svg/font.hpp"

namespace loomward::sheet {
namespace {

double middle_of(const Node& node) {
    return node.width / 2 + node.shift;
}

}  // namespace

// What is written at a guest stays clear of its host: it begins where the joint is.
void NodeMaker::shift_texts(Node& node, const Element& element, const GuestForm& guest) const {
    const double body = body_size(element.symbol).length;
    const double texts = std::max(text_width(element.name, designator_size, true) + flags_room(element) +
                                      (node.beside.empty() ? 0 : 1.2 + text_width(node.beside, rating_size)),
                                  widest(node.rows));
    node.width = std::max(body, texts + 0.8) + 0.6;
    const double away = guest.touches == Side::left ? 1 : -1;
    node.shift = away * (body - node.width) / 2;
    node.text_middle = away * std::max(0.0, 0.8 + texts / 2 - body / 2);
}

// Guests that lead back, or beside which a wire goes on, stand below the row of their host.
bool NodeMaker::has_guests_below(int index, const Node& node) const {
    return std::any_of(guests_at(index).begin(), guests_at(index).end(), [&](int guest) {
        const Element& each = model_.elements[static_cast<std::size_t>(guest)];
        const bool at_right = (each.host_pin != 0) != node.flipped;
        if (at_right != each.looks_right || each.across >= 0) return true;
        const auto& ends = ends_at(index);
        return std::any_of(ends.begin(), ends.end(),
                           [&](const LineEnd& end) { return pin(end) == each.host_pin; });
    });
}

// `touching`: where the host is touched, and `row`: at which height the guest stands, both from the top left
// of the host's node.
void NodeMaker::add_guest(int guest, std::size_t host_node, const GuestForm& form, Point touching,
                          double row) {
    Node node = symbol_node(guest, &form);
    const double half = body_size(model_.elements[static_cast<std::size_t>(guest)].symbol).length / 2;
    const double end = middle_of(node) + (form.touches == Side::left ? -half : half);
    node.carrier = static_cast<int>(host_node);
    node.carrier_dx = touching.x - end;
    node.carrier_dy = row - node.row;
    if (std::abs(row - touching.y) > 0.01)
        node.links.push_back({end, touching.y - node.carrier_dy, end, node.row});
    Node& host = layout_.nodes[host_node];
    host.pad_left = std::max(host.pad_left, -node.carrier_dx);
    host.pad_right = std::max(host.pad_right, node.carrier_dx + node.width - host.width);
    host.pad_top = std::max(host.pad_top, -node.carrier_dy);
    host.pad_bottom = std::max(host.pad_bottom, node.carrier_dy + node.height - host.height);
    push(std::move(node));
}

void NodeMaker::add_symbol_guests(int index) {
    const std::vector<int>& guests = guests_at(index);
    if (guests.empty()) return;
    const Element& element = model_.elements[static_cast<std::size_t>(index)];
    const std::size_t host_node = layout_.nodes.size() - 1;
    const auto host = [&]() -> Node& { return layout_.nodes[host_node]; };
    const double middle = middle_of(host()), half = body_size(element.symbol).length / 2;
    const double row = host().row;
    // The lowest landing of each end, and what lies below it.
    double lowest[2] = {row, row}, used[2] = {0, 0};
    double under = host().coil_row > row ? host().height : row + host().down + 0.8;
    for (const LineEnd& end : ends_at(index)) {
        if (element.pins[static_cast<std::size_t>(pin(end))].coil) continue;
        const bool right = (pin(end) != 0) != host().flipped;
        const double y = spots_[slot(end)].y;
        lowest[right] = std::max(lowest[right], y);
        used[right] = std::max(used[right], y + half_of(end));
        under = std::max(under, y + half_of(end));
    }
    if (!host().unders.empty()) under = std::max(under, host().height);
    // With guests in line on both sides the host's texts need the room between them.
    int at_side[2] = {0, 0};
    for (const int guest : guests) {
        const Element& each = model_.elements[static_cast<std::size_t>(guest)];
        const bool right = (each.host_pin != 0) != host().flipped;
        at_side[right] += right == each.looks_right && each.across < 0 && used[right] <= 0;
    }
    const bool both = at_side[0] > 0 && at_side[1] > 0;
    const double apart = both ? std::max(0.0, host().width / 2 - half) : 0;
    double below[2] = {used[0], used[1]};
    bool in_line[2] = {false, false};
    for (const int guest : guests) {
        const Element& each = model_.elements[static_cast<std::size_t>(guest)];
        const bool right = (each.host_pin != 0) != host().flipped;
        const double at = middle + (right ? half : -half);
        if (right != each.looks_right || each.across >= 0) {  // under the host
            const GuestForm form{right ? Side::right : Side::left, true};
            const Node size = symbol_node(guest, &form);
            add_guest(guest, host_node, form, {at, lowest[right]}, under + size.row);
            if (each.across >= 0) {  // up to the host's other end
                Node& placed = layout_.nodes.back();
                const double inner = body_size(each.symbol).length / 2;
                const double end = middle_of(placed) + (right ? -inner : inner);
                const double far = middle + (right ? -half : half) - placed.carrier_dx;
                placed.leads = {{end, placed.row, far, placed.row},
                                {far, placed.row, far, lowest[!right] - placed.carrier_dy}};
            }
            lowest[right] = under + size.row;
            under += size.height;
            continue;
        }
        const Side touches = right ? Side::left : Side::right;
        if (used[right] <= 0 && !in_line[right]) {
            in_line[right] = true;
            add_guest(guest, host_node, {touches, false}, {at + (right ? apart : -apart), row}, row);
            if (apart > 0) {
                Node& placed = layout_.nodes.back();
                const double from = at - placed.carrier_dx;
                placed.links.push_back({from, placed.row, from + (right ? apart : -apart), placed.row});
            }
            if (!both) {  // the host's own texts keep to its other end
                const double overhang = std::max(0.0, host().width / 2 - half);
                host().text_middle = (right ? -1 : 1) * overhang;
                (right ? host().pad_left : host().pad_right) += overhang;
            }
            const Node& done = layout_.nodes.back();
            below[right] = done.carrier_dy + done.height;
            lowest[right] = row;
        } else {
            const GuestForm form{touches, true};
            const Node size = symbol_node(guest, &form);
            const double y = below[right] + size.row + 0.2;
            add_guest(guest, host_node, form, {at, lowest[right]}, y);
            lowest[right] = y;
            below[right] = y - size.row + size.height;
        }
    }
    if (element.form == Form::contact)  // contacts of a connector stand in line
        host().pad_left = host().pad_right = std::max(host().pad_left, host().pad_right);
}

}  // namespace loomward::sheet
