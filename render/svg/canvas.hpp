// Writes SVG, and remembers where texts and symbols came to lie, so that a test can look for collisions.
#pragma once
#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "render/svg/palette.hpp"

namespace loomward::sheet {

struct Point {
    double x = 0;
    double y = 0;
};
struct Box {
    double left = 0, top = 0, right = 0, bottom = 0;
    double width() const { return right - left; }
    double height() const { return bottom - top; }
};
enum class Anchor { start, middle, end };

// What stands where on the paper; `owner` is the drawn thing it belongs to (an index given by whoever draws),
// `place` the strip it was drawn in.
struct Mark {
    Box box;
    int owner = -1;
    int place = -1;
    std::string text;   // empty for a symbol
    double size = 0;    // of the lettering, mm on paper
    bool flag = false;  // a number on a pennant; the box is that of the pennant
};

// A place that a reference elsewhere leads to, and such a reference.
struct Target {
    std::string name;
    double x = 0, y = 0;
};
struct Reference {
    Box box;
    std::string target;
};

// A stroke; colours are "#rrggbb". `dash` as SVG writes it; empty: solid.
struct Stroke {
    double width = 0.35;
    std::string_view colour = {};  // empty: ink
    std::string_view dash = {};
    bool round = false;
};

class Canvas {
  public:
    explicit Canvas(const Palette& palette) : palette_(palette) {}

    void raw(std::string_view markup) { out_ += markup; }
    void line(double x1, double y1, double x2, double y2, Stroke stroke = {});
    void path(std::string_view data, Stroke stroke = {}, std::string_view fill = "none");
    void rectangle(const Box& box, std::string_view fill, Stroke stroke = {}, double radius = 0);
    void circle(double x, double y, double radius, std::string_view fill, Stroke stroke = {});
    // Base line at y. An empty colour is ink. Marks where the text lies.
    void text(double x, double y, std::string_view text, double size, bool bold = false,
              Anchor anchor = Anchor::start, std::string_view colour = {});
    // The same, read from bottom to top; (x, y) is the middle of the base line.
    void upright_text(double x, double y, std::string_view text, double size, bool bold,
                      std::string_view colour = {});
    // The last text is the number on a pennant of this extent.
    void mark_flag(const Box& box) {
        texts_.back().box = on_paper(box);
        texts_.back().flag = true;
    }
    void mark_symbol(const Box& box) { symbols_.push_back({on_paper(box), owner_, place_, {}, 0}); }

    // Everything until the next call belongs to this.
    void own(int owner) { owner_ = owner; }
    // Everything until `leave_place` is drawn with its (0, origin_y) at (x, y) of the paper, scaled.
    void enter_place(int place, double x, double y, double scale, double origin_y);
    void leave_place();
    // Where references lead to, and what surrounds one. `address` gives what a viewer goes to; where it is
    // not set, nothing is written into the markup.
    void add_target(std::string name, double x, double y);
    void open_reference(const Box& box, const std::string& target);
    void close_reference();
    void set_addresses(std::function<std::string(const std::string& target)> address) {
        address_ = std::move(address);
    }
    // A group with an attribute and what a viewer shows when the pointer rests on it.
    void open_group(std::string_view attribute, std::string_view value, std::string_view title = {},
                    std::string_view id = {});
    // A group that is drawn paler; lettering must stay readable.
    void open_pale(bool lettering) {
        out_ += lettering ? "<g opacity=\"0.55\">\n" : "<g opacity=\"0.35\">\n";
    }
    void close_group() { out_ += "</g>\n"; }

    const Palette& palette() const { return palette_; }
    const std::vector<Mark>& texts() const { return texts_; }
    const std::vector<Mark>& symbols() const { return symbols_; }
    const std::vector<Target>& targets() const { return targets_; }
    const std::vector<Reference>& references() const { return references_; }
    const std::string& markup() const { return out_; }

  private:
    void stroke(const Stroke& stroke);
    Box on_paper(const Box& box) const {
        return {x_ + scale_ * box.left, y_ + scale_ * (box.top - origin_y_), x_ + scale_ * box.right,
                y_ + scale_ * (box.bottom - origin_y_)};
    }
    const Palette& palette_;
    std::string out_;
    std::vector<Mark> texts_, symbols_;
    std::vector<Target> targets_;
    std::vector<Reference> references_;
    std::function<std::string(const std::string&)> address_;
    int owner_ = -1, place_ = -1;
    double x_ = 0, y_ = 0, scale_ = 1, origin_y_ = 0;
    bool linked_ = false;  // an `a` element is open
};

// Three digits after the point at most, no trailing zeros, never "-0".
std::string number(double value);
// For element text and attribute values; characters XML cannot hold are left out.
std::string escaped(std::string_view text);
// A polyline with its corners rounded off.
std::string rounded_path(const std::vector<Point>& points, double radius);

}  // namespace loomward::sheet
