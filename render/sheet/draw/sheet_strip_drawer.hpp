// The drawer of a strip, private to sheet_draw.cpp and sheet_draw_parts.cpp.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "render/sheet/draw/sheet_draw.hpp"

namespace loomward::sheet {

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
        draw_areas();
        draw_lines();
        for (std::size_t i = 0; i < layout_.nodes.size(); ++i) {
            canvas_.own(static_cast<int>(i));
            const Node& node = layout_.nodes[i];
            if (node.type == NodeType::label) draw_label(static_cast<int>(i));
            if (node.type != NodeType::element) continue;
            const Element& element = layout_.element(node);
            if (element.form == Form::pennant) {
                const bool off = layout_.line(node.landings.front().line).off;
                if (off) canvas_.open_pale(true);
                draw_pennant(node, element);
                if (off) canvas_.close_group();
                continue;
            }
            canvas_.open_group("data-part", part_name(element), element.title, element_target(node.element));
            canvas_.add_target(element_target(node.element), node.x, node.y);
            for (const PartId part : element.also) {
                canvas_.open_group("data-part", part_path(part));
                canvas_.close_group();
            }
            if (element.off) canvas_.open_pale(true);
            draw_element(node, element);
            if (element.off) canvas_.close_group();
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

    void draw_areas();
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
    Side side_of_name(const Element& element, const std::vector<std::pair<double, int>>& landings) const;
    void draw_bars();
    void draw_contact_links();
    void draw_ends();

    Canvas& canvas_;
    const Layout& layout_;
    const Tints& tints_;
    const SquareOf& square_of_;
    std::vector<std::size_t> run_of_label_;  // by node
};

}  // namespace loomward::sheet
