// Nodes with their sizes and landings. Several wires on one face of a pin land on a short dark bar, the
// thickest on the symbol's own row; a wire from the wrong side passes under the symbol, inside its node.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "render/sheet_place.hpp"
#include "render/svg_font.hpp"

namespace loomward::sheet {
namespace {

constexpr double text_row = 2.75;  // one row of text above a symbol

struct LineEnd {
    int position = 0;  // of the line in the strip
    bool at_from = false;
};

class NodeMaker {
  public:
    NodeMaker(const SheetModel& model, const Strip& strip, const Columns& columns, const Heights& heights)
        : model_(model), strip_(strip), columns_(columns), heights_(heights) {
        layout_.model = &model;
        layout_.lines = strip.lines;
        layout_.runs = columns.runs;
        ends_.resize(model.elements.size());
        for (std::size_t i = 0; i < strip.lines.size(); ++i) {
            const Line& each = line(static_cast<int>(i));
            ends_[static_cast<std::size_t>(each.from.element)].push_back({static_cast<int>(i), true});
            ends_[static_cast<std::size_t>(each.to.element)].push_back({static_cast<int>(i), false});
        }
        spots_.resize(strip.lines.size() * 2);
    }

    Layout make() {
        mark_first_contacts();
        for (const int element : strip_.elements) add_element(element);
        add_chains();
        return std::move(layout_);
    }

  private:
    struct Spot {
        int node = -1;
        double y = 0;
    };

    const Line& line(int position) const {
        return model_.lines[static_cast<std::size_t>(strip_.lines[static_cast<std::size_t>(position)])];
    }
    const Line& line(const LineEnd& end) const { return line(end.position); }
    const Run& run(int position) const { return columns_.runs[static_cast<std::size_t>(position)]; }
    int pin(const LineEnd& end) const { return end.at_from ? line(end).from.pin : line(end).to.pin; }
    // The side of its element that an end leaves from.
    Side side(const LineEnd& end) const {
        const Run& r = run(end.position);
        if (r.turns) return r.turn_side;
        return r.left_is_from == end.at_from ? Side::right : Side::left;
    }
    std::size_t slot(const LineEnd& end) const {
        return static_cast<std::size_t>(end.position) * 2 + (end.at_from ? 0 : 1);
    }
    bool taught() const { return !heights_.of.empty(); }
    double own(const LineEnd& end) const { return taught() ? heights_.of[slot(end)].own : 0; }
    double beyond(const LineEnd& end) const { return taught() ? heights_.of[slot(end)].beyond : 0; }
    double half(const LineEnd& end) const { return wire_width(line(end).area_mm2) / 2; }
    LabelSize size(const LineEnd& end) const { return label_size(line(end), false); }
    double pitch(const LineEnd& upper, const LineEnd& lower) const {
        return size(upper).below + heights_.gap + size(lower).above;
    }
    void sort_by_height(std::vector<LineEnd>& ends) const {
        std::stable_sort(ends.begin(), ends.end(),
                         [&](const LineEnd& a, const LineEnd& b) { return own(a) < own(b); });
    }
    void land(Node& node, const LineEnd& end, Side at, double y) {
        node.landings.push_back({strip_.lines[static_cast<std::size_t>(end.position)], end.at_from, at, y});
        spots_[slot(end)] = {static_cast<int>(layout_.nodes.size()), y};
    }
    void push(Node node) { layout_.nodes.push_back(std::move(node)); }
    Node node_for(int element) const {
        Node node;
        node.type = NodeType::element;
        node.element = element;
        node.column = columns_.of_element[static_cast<std::size_t>(element)];
        return node;
    }
    // Heights below `top` at which labels stack without a kink.
    std::vector<double> stacked(const std::vector<LineEnd>& ends, double top) const {
        std::vector<double> ys;
        for (std::size_t i = 0; i < ends.size(); ++i)
            ys.push_back(i == 0 ? top : ys.back() + pitch(ends[i - 1], ends[i]));
        return ys;
    }

    void mark_first_contacts();
    void add_element(int index);
    void add_bar(int index);
    void add_point(int index);
    void add_symbol(int index);
    void add_box(int index);
    void add_pennant(int index);
    void symbol_texts(Node& node, const Element& element) const;
    void land_pair(Node& node, const Element& element, int first_pin, int second_pin, double row,
                   double& bottom, bool main);
    void box_texts(Node& node, const Element& element, double& head, double& width) const;
    double land_face(Node& node, const Element& element, Side face, double head);
    void add_chains();
    void add_chain(int position, std::map<int, int>& used);
    int add_passage(int position, int column, bool label);
    void add_link(Run& r, int left, double left_y, int right, double right_y);

    const SheetModel& model_;
    const Strip& strip_;
    const Columns& columns_;
    const Heights& heights_;
    Layout layout_;
    std::vector<std::vector<LineEnd>> ends_;  // by element
    std::vector<Spot> spots_;                 // by slot
    std::vector<bool> first_contact_;         // by element
};

void NodeMaker::mark_first_contacts() {
    first_contact_.assign(model_.elements.size(), false);
    if (!taught()) return;
    std::map<int, std::pair<double, int>> topmost;
    for (const int index : strip_.elements) {
        if (model_.elements[static_cast<std::size_t>(index)].form != Form::contact) continue;
        double top = std::numeric_limits<double>::max();
        for (const LineEnd& end : ends_[static_cast<std::size_t>(index)]) top = std::min(top, own(end));
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

// A bar is as many small nodes as it has landings; the layout chooses their order.
void NodeMaker::add_bar(int index) {
    for (const LineEnd& end : ends_[static_cast<std::size_t>(index)]) {
        Node node = node_for(index);
        node.type = NodeType::landing;
        node.cluster = index;
        node.width = 2.2;
        node.height = std::max(2.6, wire_width(line(end).area_mm2) + 1.2);
        node.row = node.height / 2;
        land(node, end, side(end), node.row);
        push(std::move(node));
    }
}

void NodeMaker::add_point(int index) {
    const Element& element = model_.elements[static_cast<std::size_t>(index)];
    Node node = node_for(index);
    add_rows(node.rows, element.label, true, 17);
    node.width = std::max(text_width(element.name, designator_size, true) + flags_width(element.flags),
                          widest(node.rows)) +
                 1;
    std::vector<LineEnd> faces[2];
    double above = 1.2;
    for (const LineEnd& end : ends_[static_cast<std::size_t>(index)])
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

void NodeMaker::symbol_texts(Node& node, const Element& element) const {
    const BodySize body = body_size(element.symbol);
    if (element.form == Form::contact) {
        node.width = text_width(element.name, rating_size, true) + flags_width(element.flags) + 1;
        node.first = first_contact_[static_cast<std::size_t>(node.element)];
        if (node.first) node.width = std::max(node.width, text_width(element.heading, small_size) + 1);
        node.width = std::max(node.width, body.length);
        return;
    }
    const double flags = flags_width(element.flags);
    const double name = text_width(element.name, designator_size, true) + flags;
    const double rating = text_width(element.rating, rating_size);
    const bool one_row = element.rating.empty() || name + 1.2 + rating <= body.length + 6;
    double width = name;
    if (!element.rating.empty() && one_row) node.beside = element.rating, width = name + 1.2 + rating;
    if (!one_row) add_rows(node.rows, element.rating, false, 19);
    add_rows(node.rows, element.label, true, 19);
    width = std::max(width, widest(node.rows));
    node.width = std::max(body.length, width) + 1.2;
    if (element.on_bar >= 0) {
        node.shift = 1.9;
        node.width = std::max(node.width, 2 * (width + 1.4 - body.length / 2) + 0.4) + 3.8;
    }
}

// Landings of one pair of pins on a row; moves `bottom` below everything it needs.
void NodeMaker::land_pair(Node& node, const Element& element, int first_pin, int second_pin, double row,
                          double& bottom, bool main) {
    const int pins[2] = {first_pin, second_pin};
    std::vector<LineEnd> good[2], bad[2];
    double lowest[2] = {row, row}, highest[2] = {row, row};  // by side of the pin
    Side home[2];
    for (const int k : {0, 1}) {
        if (pins[k] < 0) continue;
        home[k] = (k == 0) != node.flipped ? Side::left : Side::right;
        for (const LineEnd& end : ends_[static_cast<std::size_t>(node.element)])
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
    (void)element;
}

void NodeMaker::add_symbol(int index) {
    const Element& element = model_.elements[static_cast<std::size_t>(index)];
    const auto& ends = ends_[static_cast<std::size_t>(index)];
    Node node = node_for(index);
    node.cluster = element.on_bar;
    int pins[4] = {-1, -1, -1, -1}, mains = 0, coils = 0;
    for (std::size_t i = 0; i < element.pins.size(); ++i) {
        if (element.pins[i].coil && coils < 2) pins[2 + coils++] = static_cast<int>(i);
        if (!element.pins[i].coil && mains < 2) pins[mains++] = static_cast<int>(i);
    }
    int agree = 0, disagree = 0;
    double clear = 0, above = 0;
    std::vector<LineEnd> faces[2];
    for (const LineEnd& end : ends) {
        const bool coil = pin(end) == pins[2] || pin(end) == pins[3];
        if (coil) continue;
        const Side home = pin(end) == pins[0] ? Side::left : Side::right;
        ++(side(end) == home ? agree : disagree);
        clear = std::max(clear, half(end) + clearance(line(end)) - 0.15);
        faces[pin(end) == pins[0]].push_back(end);
    }
    node.flipped = disagree > agree && element.on_bar < 0;
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
    node.up = std::max({body.up, above, node.width > body.length - 2 ? clear : 0});
    node.down = std::max(body.down, clear);
    const double texts = element.form == Form::contact
                             ? 2.45 + (node.first && !element.heading.empty() ? 2.6 : 0)
                             : static_cast<double>(node.rows.size() + 1) * text_row;
    node.row = texts + 0.35 + node.up;
    double bottom = node.row + node.down + 0.4;
    land_pair(node, element, pins[0], pins[1], node.row, bottom, true);
    const bool coil_wired = std::any_of(ends.begin(), ends.end(), [&](const LineEnd& end) {
        return pins[2] >= 0 && (pin(end) == pins[2] || pin(end) == pins[3]);
    });
    if (coil_wired) {
        double coil_clear = 1.5 * module_mm;
        for (const LineEnd& end : ends)
            if (pin(end) == pins[2] || pin(end) == pins[3])
                coil_clear = std::max(coil_clear, size(end).above);
        node.coil_row = bottom + coil_clear;
        bottom = node.coil_row + 1.5 * module_mm;
        land_pair(node, element, pins[2], pins[3], node.coil_row, bottom, false);
    }
    node.height = bottom;
    push(std::move(node));
}

void NodeMaker::box_texts(Node& node, const Element& element, double& head, double& width) const {
    head = 0.8 + designator_size * 0.8;
    add_rows(node.rows, element.rating, false, 24);
    add_rows(node.rows, element.label, true, 20);
    if (element.other_half >= 0)
        node.rows.push_back({element.input_half ? "output /A0" : "input /A0", small_size, true});
    for (const TextRow& row : node.rows) head += row.size * 0.8 + 0.9;
    width = std::max({15.0, text_width(element.name, designator_size, true) + flags_width(element.flags) + 4,
                      widest(node.rows) + 3});
    head += 1.2;
    switch (element.symbol) {
        case Symbol::controller:
        case Symbol::converter:
        case Symbol::charger:
        case Symbol::motor:
            node.square = head;
            head += 9.0;
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
    for (const LineEnd& end : ends_[static_cast<std::size_t>(node.element)])
        if (side(end) == face) by_pin[pin(end)].push_back(end);
    std::vector<int> pins;
    std::map<int, double> middle;
    for (auto& [each, ends] : by_pin) {
        sort_by_height(ends);
        for (const LineEnd& end : ends) middle[each] += own(end) / static_cast<double>(ends.size());
        pins.push_back(each);
    }
    const bool fixed = element.symbol == Symbol::pack || element.symbol == Symbol::converter ||
                       element.symbol == Symbol::charger;
    if (!fixed)
        std::stable_sort(pins.begin(), pins.end(), [&](int a, int b) { return middle[a] < middle[b]; });
    const auto place_of = [&](std::string_view name) {
        return std::find_if(pins.begin(), pins.end(),
                            [&](int p) { return element.pins[static_cast<std::size_t>(p)].name == name; });
    };
    if (const auto plus = place_of("+"), minus = place_of("-"); plus != pins.end() && minus < plus)
        std::iter_swap(plus, minus);
    const double reach = element.symbol == Symbol::pack ? 30 : element.symbol == Symbol::controller ? 28 : 14;
    double y = head;
    const LineEnd* before = nullptr;
    for (const int each : pins) {
        PinRow row{each, face, 0, 0, 0};
        for (std::size_t i = 0; i < by_pin[each].size(); ++i) {
            const LineEnd& end = by_pin[each][i];
            if (!before) {
                y = head + std::max(1.6, size(end).above - 2.5);
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
    double pin_width[2] = {0, 0};
    for (const LineEnd& end : ends_[static_cast<std::size_t>(index)]) {
        double& widest = pin_width[side(end) == Side::right];
        widest = std::max(widest,
                          end_radius(line(end)) +
                              text_width(element.pins[static_cast<std::size_t>(pin(end))].name, small_size));
    }
    node.width = std::max(width, pin_width[0] + pin_width[1] + 6);
    const double left = land_face(node, element, Side::left, head);
    const double right = land_face(node, element, Side::right, head);
    node.height = std::max(left, right) + 2.0;
    push(std::move(node));
}

void NodeMaker::add_pennant(int index) {
    Node node = node_for(index);
    node.width = pennant_width(model_.elements[static_cast<std::size_t>(index)].name);
    node.height = 4.2;
    node.row = 2.1;
    for (const LineEnd& end : ends_[static_cast<std::size_t>(index)]) {
        node.height = std::max(node.height, wire_width(line(end).area_mm2) + 1.5);
        node.row = node.height / 2;
        node.flipped = side(end) == Side::left;  // it points away from its line
        land(node, end, side(end), node.row);
    }
    push(std::move(node));
}

int NodeMaker::add_passage(int position, int column, bool label) {
    const Line& each = line(position);
    Node node;
    node.type = label ? NodeType::label : NodeType::pass;
    node.line = strip_.lines[static_cast<std::size_t>(position)];
    node.column = column;
    if (label) {
        const LabelSize dims =
            label_size(each, layout_.arrow_leftward(layout_.runs[static_cast<std::size_t>(position)]));
        node.width = dims.width;
        node.row = dims.above;
        node.height = dims.above + dims.below;
    } else {
        node.width = 0.2;
        node.height = wire_width(each.area_mm2) + (each.unguarded ? 3.0 : 2.3);
        node.row = node.height / 2;
    }
    push(std::move(node));
    return static_cast<int>(layout_.nodes.size()) - 1;
}

void NodeMaker::add_link(Run& r, int left, double left_y, int right, double right_y) {
    r.links.push_back(static_cast<int>(layout_.links.size()));
    layout_.links.push_back({r.line, left, right, left_y, right_y});
}

// The label sits in the least used gap between the ends, leftmost on a tie.
void NodeMaker::add_chain(int position, std::map<int, int>& used) {
    Run& r = layout_.runs[static_cast<std::size_t>(position)];
    const Spot from = spots_[slot({position, true})], to = spots_[slot({position, false})];
    const Spot left = r.left_is_from ? from : to, right = r.left_is_from ? to : from;
    const int a = layout_.node(left.node).column, b = layout_.node(right.node).column;
    const bool labelled = line(position).is_labelled();
    r.nodes.push_back(left.node);
    if (r.turns) {
        const int column = r.turn_side == Side::right ? std::max(a, b) + 1 : std::min(a, b) - 1;
        const int label = add_passage(position, column, labelled),
                  back = add_passage(position, column, false);
        const double label_y = layout_.node(label).row, back_y = layout_.node(back).row;
        if (r.turn_side == Side::right) {
            add_link(r, left.node, left.y, label, label_y);
            add_link(r, right.node, right.y, back, back_y);
        } else {
            add_link(r, label, label_y, left.node, left.y);
            add_link(r, back, back_y, right.node, right.y);
        }
        r.nodes.insert(r.nodes.end(), {label, back, right.node});
        r.label = labelled ? label : -1;
        return;
    }
    int best = a + 1;
    for (int gap = a + 1; gap < b; gap += 2)
        if (used[gap] < used[best]) best = gap;
    if (b - a > 2) ++used[best];
    Spot before = left;
    for (int column = a + 1; column < b; ++column) {
        const bool here = labelled && column == best;
        const int node = add_passage(position, column, here);
        if (here) r.label = node;
        add_link(r, before.node, before.y, node, layout_.node(node).row);
        before = {node, layout_.node(node).row};
        r.nodes.push_back(node);
    }
    add_link(r, before.node, before.y, right.node, right.y);
    r.nodes.push_back(right.node);
}

void NodeMaker::add_chains() {
    std::map<int, int> used;
    for (const Run& r : layout_.runs) {
        const Line& each = model_.lines[static_cast<std::size_t>(r.line)];
        const int a = columns_.of_element[static_cast<std::size_t>(each.from.element)],
                  b = columns_.of_element[static_cast<std::size_t>(each.to.element)];
        if (std::abs(a - b) == 2) ++used[std::min(a, b) + 1];
    }
    for (std::size_t i = 0; i < strip_.lines.size(); ++i) add_chain(static_cast<int>(i), used);
}

}  // namespace

Layout make_nodes(const SheetModel& model, const Strip& strip, const Columns& columns,
                  const Heights& heights) {
    return NodeMaker(model, strip, columns, heights).make();
}

}  // namespace loomward::sheet
