#include "render/svg/canvas.hpp"

#include <algorithm>
#include <cmath>

#include "render/svg/font.hpp"

namespace loomward::sheet {

std::string number(double value) {
    if (!std::isfinite(value)) return "0";
    // Integer arithmetic: no locale, no rounding that differs from one library to the next.
    const long long thousandths = std::llround(value * 1000);
    const unsigned long long size =
        static_cast<unsigned long long>(thousandths < 0 ? -thousandths : thousandths);
    std::string text = (thousandths < 0 ? "-" : "") + std::to_string(size / 1000);
    std::string fraction = std::to_string(1000 + size % 1000).substr(1);
    while (!fraction.empty() && fraction.back() == '0') fraction.pop_back();
    if (!fraction.empty()) text += '.' + fraction;
    return text;
}

std::string escaped(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (const char c : text) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            default:
                if (static_cast<unsigned char>(c) >= 0x20) out += c;
        }
    }
    return out;
}

std::string rounded_path(const std::vector<Point>& points, double radius) {
    if (points.empty()) return {};
    const auto at = [](Point p) { return number(p.x) + ' ' + number(p.y); };
    std::string data = 'M' + at(points.front());
    for (std::size_t i = 1; i + 1 < points.size(); ++i) {
        const Point a = points[i - 1], b = points[i], c = points[i + 1];
        const double before = std::hypot(b.x - a.x, b.y - a.y), after = std::hypot(c.x - b.x, c.y - b.y);
        const double cut = std::min({radius, before / 2, after / 2});
        if (cut < 0.02) {
            data += 'L' + at(b);
            continue;
        }
        const Point in{b.x + (a.x - b.x) * cut / before, b.y + (a.y - b.y) * cut / before};
        const Point out{b.x + (c.x - b.x) * cut / after, b.y + (c.y - b.y) * cut / after};
        data += 'L' + at(in) + 'Q' + at(b) + ' ' + at(out);
    }
    if (points.size() > 1) data += 'L' + at(points.back());
    return data;
}

void Canvas::stroke(const Stroke& stroke) {
    out_ += " stroke=\"";
    out_ += stroke.colour.empty() ? palette_.ink : stroke.colour;
    out_ += "\" stroke-width=\"" + number(stroke.width) + '"';
    if (!stroke.dash.empty()) out_ += " stroke-dasharray=\"" + std::string(stroke.dash) + '"';
    if (stroke.round) out_ += " stroke-linecap=\"round\"";
    out_ += "/>\n";
}

void Canvas::line(double x1, double y1, double x2, double y2, Stroke with) {
    path('M' + number(x1) + ' ' + number(y1) + 'L' + number(x2) + ' ' + number(y2), with);
}

void Canvas::path(std::string_view data, Stroke with, std::string_view fill) {
    out_ += "<path d=\"" + std::string(data) + "\" fill=\"" + std::string(fill) + '"';
    stroke(with);
}

void Canvas::rectangle(const Box& box, std::string_view fill, Stroke with, double radius) {
    out_ += "<rect x=\"" + number(box.left) + "\" y=\"" + number(box.top) + "\" width=\"" +
            number(box.width()) + "\" height=\"" + number(box.height()) + "\" fill=\"" + std::string(fill) +
            '"';
    if (radius > 0) out_ += " rx=\"" + number(radius) + '"';
    if (with.width > 0)
        stroke(with);
    else
        out_ += "/>\n";
}

void Canvas::circle(double x, double y, double radius, std::string_view fill, Stroke with) {
    out_ += "<circle cx=\"" + number(x) + "\" cy=\"" + number(y) + "\" r=\"" + number(radius) + "\" fill=\"" +
            std::string(fill) + '"';
    stroke(with);
}

void Canvas::text(double x, double y, std::string_view text, double size, bool bold, Anchor anchor,
                  std::string_view colour) {
    if (text.empty()) return;
    out_ += "<text x=\"" + number(x) + "\" y=\"" + number(y) + "\" font-size=\"" + number(size) + '"';
    if (bold) out_ += " font-weight=\"700\"";
    if (anchor != Anchor::start)
        out_ += anchor == Anchor::middle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
    out_ += " fill=\"" + std::string(colour.empty() ? palette_.ink : colour) + "\">" + escaped(text) +
            "</text>\n";
    const double width = text_width(text, size, bold);
    const double left = anchor == Anchor::start ? x : anchor == Anchor::middle ? x - width / 2 : x - width;
    texts_.push_back({on_paper({left, y - size * 0.73, left + width, y}), owner_, place_, std::string(text),
                      size * scale_});
}

void Canvas::upright_text(double x, double y, std::string_view text, double size, bool bold,
                          std::string_view colour) {
    if (text.empty()) return;
    out_ += "<text transform=\"translate(" + number(x) + ' ' + number(y) + ") rotate(-90)\" font-size=\"" +
            number(size) + '"';
    if (bold) out_ += " font-weight=\"700\"";
    out_ += " text-anchor=\"middle\" fill=\"" + std::string(colour.empty() ? palette_.ink : colour) + "\">" +
            escaped(text) + "</text>\n";
    const double half = text_width(text, size, bold) / 2;
    texts_.push_back({on_paper({x - size * 0.73, y - half, x, y + half}), owner_, place_, std::string(text),
                      size * scale_});
}

void Canvas::enter_place(int place, double x, double y, double scale, double origin_y) {
    place_ = place;
    x_ = x, y_ = y, scale_ = scale, origin_y_ = origin_y;
    out_ += "<g transform=\"translate(" + number(x) + ' ' + number(y - scale * origin_y) + ") scale(" +
            number(scale) + ")\">\n";
}

void Canvas::leave_place() {
    place_ = -1;
    x_ = y_ = origin_y_ = 0, scale_ = 1;
    out_ += "</g>\n";
}

void Canvas::add_target(std::string name, double x, double y) {
    const Box at = on_paper({x, y, x, y});
    targets_.push_back({std::move(name), at.left, at.top});
}

void Canvas::open_reference(const Box& box, const std::string& target) {
    references_.push_back({on_paper(box), target});
    const std::string address = address_ ? address_(target) : std::string();
    linked_ = !address.empty();
    if (linked_) out_ += "<a href=\"" + escaped(address) + "\">\n";
}

void Canvas::close_reference() {
    if (linked_) out_ += "</a>\n";
    linked_ = false;
}

void Canvas::open_group(std::string_view attribute, std::string_view value, std::string_view title,
                        std::string_view id) {
    out_ += "<g";
    if (!id.empty()) out_ += " id=\"" + escaped(id) + '"';
    if (!attribute.empty()) out_ += ' ' + std::string(attribute) + "=\"" + escaped(value) + '"';
    out_ += '>';
    if (!title.empty()) out_ += "<title>" + escaped(title) + "</title>";
    out_ += '\n';
}

}  // namespace loomward::sheet
