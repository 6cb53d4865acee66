// The maker of nodes, private to sheet_nodes.cpp, sheet_node_boxes.cpp and sheet_chains.cpp.
#pragma once
#include <algorithm>
#include <map>
#include <vector>

#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {

// One end of a line of the strip.
struct LineEnd {
    int position = 0;  // of the line in the strip
    bool at_from = false;
};

// How a guest is drawn: which of its ends touches its host, and whether its texts stand below it.
struct GuestForm {
    Side touches = Side::left;
    bool texts_below = false;
};

class NodeMaker {
  public:
    NodeMaker(const SheetModel& model, const Strip& strip, const Columns& columns, const Heights& heights)
        : model_(model), strip_(strip), columns_(columns), heights_(heights) {
        layout_.model = &model;
        layout_.lines = strip.lines;
        layout_.runs = columns.runs;
        local_.assign(model.elements.size(), strip.elements.size());
        for (std::size_t i = 0; i < strip.elements.size(); ++i)
            local_[static_cast<std::size_t>(strip.elements[i])] = i;
        ends_.resize(strip.elements.size() + 1);
        for (std::size_t i = 0; i < strip.lines.size(); ++i) {
            const Line& each = line(static_cast<int>(i));
            ends_at(each.from.element).push_back({static_cast<int>(i), true});
            ends_at(each.to.element).push_back({static_cast<int>(i), false});
        }
        spots_.resize(strip.lines.size() * 2);
        guests_.resize(strip.elements.size() + 1);
        for (const int index : strip.elements)
            if (const int host = model.elements[static_cast<std::size_t>(index)].host; host >= 0)
                guests_at(host).push_back(index);
    }

    Layout make() {
        mark_first_contacts();
        for (const int element : strip_.elements)
            if (model_.elements[static_cast<std::size_t>(element)].host < 0) add_element(element);
        add_chains();
        return std::move(layout_);
    }

  private:
    struct Spot {
        int node = -1;
        double y = 0;
    };

    // By element of the strip; what lies outside has none.
    std::vector<LineEnd>& ends_at(int element) { return ends_[local_[static_cast<std::size_t>(element)]]; }
    const std::vector<LineEnd>& ends_at(int element) const {
        return ends_[local_[static_cast<std::size_t>(element)]];
    }
    std::vector<int>& guests_at(int element) { return guests_[local_[static_cast<std::size_t>(element)]]; }
    const std::vector<int>& guests_at(int element) const {
        return guests_[local_[static_cast<std::size_t>(element)]];
    }
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
    // Half of what a line takes at its end, with the space below it.
    double half_of(const LineEnd& end) const { return half(end) + clearance(line(end)); }
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
    Node symbol_node(int index, const GuestForm* guest);
    bool has_guests_below(int index, const Node& node) const;
    void add_symbol_guests(int index);
    void add_guest(int guest, std::size_t host_node, const GuestForm& form, Point touching, double row);
    void add_lead_across(int guest, std::size_t host_node, double face);
    void shift_texts(Node& node, const Element& element, const GuestForm& guest) const;
    void add_box(int index);
    void add_pennant(int index);
    bool in_load_column(int element) const;
    void symbol_texts(Node& node, const Element& element) const;
    void land_pair(Node& node, int first_pin, int second_pin, double row, double& bottom, bool main);
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
    std::vector<std::size_t> local_;          // place in the strip, by element; its size: none
    std::vector<std::vector<LineEnd>> ends_;  // by place in the strip
    std::vector<Spot> spots_;                 // by slot
    std::vector<std::vector<int>> guests_;    // by place in the strip
    struct FaceGuest {
        int element = -1;
        Side face = Side::left;
        double row = 0;
    };
    std::vector<FaceGuest> face_guests_;  // of the box that is being made
    std::vector<bool> first_contact_;     // by element
};

}  // namespace loomward::sheet
