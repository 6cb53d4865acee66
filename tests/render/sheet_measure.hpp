// Counts what lies on what in a drawn strip, by geometry: boxes of texts and symbols against each other and
// against the lines as wide as they are drawn. A tint under a text is allowed and not counted.
#pragma once
#include <algorithm>
#include <string>
#include <vector>

#include "render/sheet_draw.hpp"

namespace loomward::sheet {

struct Collisions {
    std::vector<std::string> text_text, text_line, text_symbol, line_symbol, symbol_symbol, line_line;
    std::size_t count() const {
        return text_text.size() + text_line.size() + text_symbol.size() + line_symbol.size() +
               symbol_symbol.size() + line_line.size();
    }
    std::string all() const {
        std::string text;
        for (const auto* list :
             {&text_text, &text_line, &text_symbol, &line_symbol, &symbol_symbol, &line_line})
            for (const std::string& each : *list) text += each + "\n";
        return text;
    }
};

inline bool overlap(const Box& a, const Box& b, double allowed = 0.05) {
    return std::min(a.right, b.right) - std::max(a.left, b.left) > allowed &&
           std::min(a.bottom, b.bottom) - std::max(a.top, b.top) > allowed;
}

inline Box inset(const Box& box, double by) {
    return {box.left + by, box.top + by, box.right - by, box.bottom - by};
}

// A stroke is as wide as drawn, and ends where it ends.
inline Box stroke_of(Point a, Point b, double half) {
    const bool flat = std::abs(a.y - b.y) < 1e-6;
    return {std::min(a.x, b.x) - (flat ? 0 : half), std::min(a.y, b.y) - (flat ? half : 0),
            std::max(a.x, b.x) + (flat ? 0 : half), std::max(a.y, b.y) + (flat ? half : 0)};
}

inline Box box_of(Point a, Point b, double half) {
    return {std::min(a.x, b.x) - half, std::min(a.y, b.y) - half, std::max(a.x, b.x) + half,
            std::max(a.y, b.y) + half};
}

class Measure {
  public:
    Measure(const Layout& layout, const Canvas& canvas) : layout_(layout), canvas_(canvas) {
        compare_marks();
        for (std::size_t i = 0; i < layout.runs.size(); ++i) compare_line(i);
        compare_lines();
    }
    const Collisions& found() const { return found_; }

  private:
    // A bar is several nodes, but one thing; so are a thing and what is written at it.
    int thing(int owner) const {
        if (owner < 0 || owner >= static_cast<int>(layout_.nodes.size())) return owner;
        const int cluster = layout_.node(owner).cluster;
        return cluster >= 0 && layout_.node(owner).type == NodeType::landing ? 1000000 + cluster : owner;
    }
    bool belongs(const Run& run, int owner) const {
        for (const int end : {run.nodes.front(), run.nodes.back()})
            if (thing(end) == thing(owner)) return true;
        return false;
    }
    void compare_marks() {
        const auto& texts = canvas_.texts();
        const auto& symbols = canvas_.symbols();
        for (std::size_t i = 0; i < texts.size(); ++i) {
            for (std::size_t j = 0; j < i; ++j)
                if (overlap(texts[i].box, texts[j].box))
                    found_.text_text.push_back("text " + texts[i].text + " on " + texts[j].text);
            for (const Mark& symbol : symbols)
                if (thing(symbol.owner) != thing(texts[i].owner) && overlap(texts[i].box, symbol.box))
                    found_.text_symbol.push_back("text " + texts[i].text + " on a symbol");
        }
        for (std::size_t i = 0; i < symbols.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                if (thing(symbols[i].owner) != thing(symbols[j].owner) &&
                    overlap(symbols[i].box, symbols[j].box))
                    found_.symbol_symbol.push_back("symbol on symbol");
    }
    void compare_line(std::size_t index) {
        const Run& run = layout_.runs[index];
        const Line& line = layout_.line(run.line);
        const double half = wire_width(line.area_mm2) / 2;
        const std::vector<Point>& path = layout_.paths[index];
        for (std::size_t k = 0; k + 1 < path.size(); ++k) {
            const Box wide = stroke_of(path[k], path[k + 1], half);
            for (const Mark& text : canvas_.texts())
                if (overlap(wide, text.box))
                    found_.text_line.push_back("line " + line.name + " on text " + text.text);
            for (const Mark& symbol : canvas_.symbols())
                if (!belongs(run, symbol.owner) &&
                    overlap(box_of(path[k], path[k + 1], 0.1), inset(symbol.box, 0.25)))
                    found_.line_symbol.push_back("line " + line.name + " through a symbol");
        }
    }
    void compare_lines() {
        for (std::size_t i = 0; i < layout_.runs.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                for (std::size_t a = 0; a + 1 < layout_.paths[i].size(); ++a)
                    for (std::size_t b = 0; b + 1 < layout_.paths[j].size(); ++b)
                        if (on_top(layout_.paths[i][a], layout_.paths[i][a + 1], layout_.paths[j][b],
                                   layout_.paths[j][b + 1]))
                            found_.line_line.push_back("line " + layout_.line(layout_.runs[i].line).name +
                                                       " along " + layout_.line(layout_.runs[j].line).name);
    }
    static bool on_top(Point a, Point b, Point c, Point d) {
        const auto shared = [](double p, double q, double r, double s) {
            return std::min(std::max(p, q), std::max(r, s)) - std::max(std::min(p, q), std::min(r, s));
        };
        const bool upright = std::abs(a.x - b.x) < 1e-6 && std::abs(c.x - d.x) < 1e-6;
        const bool flat = std::abs(a.y - b.y) < 1e-6 && std::abs(c.y - d.y) < 1e-6;
        if (upright && std::abs(a.x - c.x) < 0.9) return shared(a.y, b.y, c.y, d.y) > 0.3;
        if (flat && std::abs(a.y - c.y) < 0.9) return shared(a.x, b.x, c.x, d.x) > 0.3;
        return false;
    }

    const Layout& layout_;
    const Canvas& canvas_;
    Collisions found_;
};

inline Collisions measure(const Layout& layout) {
    Canvas canvas(light_palette);
    draw_strip(canvas, layout, choose_tints(*layout.model, light_palette),
               [](int) { return std::string("A1"); });
    return Measure(layout, canvas).found();
}

}  // namespace loomward::sheet
