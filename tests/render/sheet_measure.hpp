// Counts what lies on what on a drawn sheet, by geometry: boxes of texts and symbols against each other and
// against the lines as wide as they are drawn, on the paper, frame and captions included. A flag is a text as
// large as its pennant. A tint under a text is allowed and not counted.
#pragma once
#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "render/sheet/draw/sheet_draw.hpp"
#include "render/sheet/draw/sheet_frame.hpp"
#include "render/sheet/layout/sheet_route.hpp"

namespace loomward::sheet {

struct Collisions {
    std::vector<std::string> text_text, text_line, text_symbol, line_symbol, symbol_symbol, line_line,
        outside;
    std::size_t count() const {
        return text_text.size() + text_line.size() + text_symbol.size() + line_symbol.size() +
               symbol_symbol.size() + line_line.size() + outside.size();
    }
    std::string all() const {
        std::string text;
        for (const auto* list :
             {&text_text, &text_line, &text_symbol, &line_symbol, &symbol_symbol, &line_line, &outside})
            for (const std::string& each : *list) text += each + "\n";
        return text;
    }
};

struct SheetFigures {
    Collisions found;
    int crossings = 0, bends = 0, pages = 0, cut_wires = 0;
    double scale = 1, smallest_text = 100;  // mm on paper
    std::size_t wires = 0;
};

inline bool overlap(const Box& a, const Box& b, double allowed = 0.05) {
    return std::min(a.right, b.right) - std::max(a.left, b.left) > allowed &&
           std::min(a.bottom, b.bottom) - std::max(a.top, b.top) > allowed;
}

// A straight piece of a line on the paper, as wide as drawn; it ends where it ends.
struct DrawnPiece {
    Point a, b;
    double half = 0;
    int place = 0, run = 0;
    bool flat() const { return std::abs(a.y - b.y) < 1e-6; }
    bool upright() const { return std::abs(a.x - b.x) < 1e-6; }
    Box box() const {
        const double wide = flat() ? 0 : half, high = flat() ? half : 0;
        return {std::min(a.x, b.x) - wide, std::min(a.y, b.y) - high, std::max(a.x, b.x) + wide,
                std::max(a.y, b.y) + high};
    }
    Box core() const {
        return {std::min(a.x, b.x) - 0.1, std::min(a.y, b.y) - 0.1, std::max(a.x, b.x) + 0.1,
                std::max(a.y, b.y) + 0.1};
    }
};

class PageMeasure {
  public:
    PageMeasure(const SheetPlan& plan, const Canvas& canvas, int page) : plan_(plan), canvas_(canvas) {
        collect_pieces(page);
        compare_marks();
        for (const DrawnPiece& piece : pieces_) compare_piece(piece);
        compare_pieces();
        for (const auto* marks : {&canvas.texts(), &canvas.symbols()})
            for (const Mark& mark : *marks)
                if (mark.box.left < 0 || mark.box.top < 0 || mark.box.right > plan.paper.width ||
                    mark.box.bottom > plan.paper.height)
                    found_.outside.push_back("outside the paper: " + mark.text);
    }
    const Collisions& found() const { return found_; }

  private:
    void collect_pieces(int page) {
        for (std::size_t p = 0; p < plan_.strips.size(); ++p) {
            const PlacedStrip& strip = plan_.strips[p];
            if (strip.page != page || strip.strip < 0) continue;
            const Layout& layout = strip.layout;
            for (std::size_t i = 0; i < layout.runs.size(); ++i) {
                const double half = wire_width(layout.line(layout.runs[i].line).area_mm2) / 2 * plan_.scale;
                for (std::size_t k = 0; k + 1 < layout.paths[i].size(); ++k)
                    pieces_.push_back({on_paper(strip, layout.paths[i][k]),
                                       on_paper(strip, layout.paths[i][k + 1]), half, static_cast<int>(p),
                                       static_cast<int>(i)});
            }
        }
    }
    Point on_paper(const PlacedStrip& strip, Point p) const {
        return {strip.x + p.x * plan_.scale, strip.y + (p.y - strip.layout.top) * plan_.scale};
    }
    // A bar is several nodes, but one thing; so are a thing and what is written at it.
    std::pair<int, int> thing(int place, int owner) const {
        if (place < 0 || owner < 0) return {place, owner};
        const Layout& layout = plan_.strips[static_cast<std::size_t>(place)].layout;
        if (owner >= static_cast<int>(layout.nodes.size())) return {place, owner};
        const Node& node = layout.node(owner);
        const bool bar = node.cluster >= 0 && node.type == NodeType::landing;
        return {place, bar ? 1000000 + node.cluster : owner};
    }
    std::pair<int, int> thing(const Mark& mark) const { return thing(mark.place, mark.owner); }
    const Run& run(const DrawnPiece& piece) const {
        return plan_.strips[static_cast<std::size_t>(piece.place)]
            .layout.runs[static_cast<std::size_t>(piece.run)];
    }
    const std::string& name(const DrawnPiece& piece) const {
        return plan_.model->lines[static_cast<std::size_t>(run(piece).line)].name;
    }
    bool belongs(const DrawnPiece& piece, const Mark& mark) const {
        for (const int end : {run(piece).nodes.front(), run(piece).nodes.back()})
            if (thing(piece.place, end) == thing(mark)) return true;
        return false;
    }
    // A flag may stand in its own box or beside its own symbol, but not across the edge.
    static bool straddles(const Mark& text, const Mark& symbol) {
        const Box &a = text.box, &b = symbol.box;
        return text.flag && (a.left < b.left || a.right > b.right || a.top < b.top || a.bottom > b.bottom);
    }
    void compare_marks() {
        const auto& texts = canvas_.texts();
        const auto& symbols = canvas_.symbols();
        for (std::size_t i = 0; i < texts.size(); ++i) {
            for (std::size_t j = 0; j < i; ++j)
                if (overlap(texts[i].box, texts[j].box))
                    found_.text_text.push_back("text " + texts[i].text + " on " + texts[j].text);
            for (const Mark& symbol : symbols)
                if (overlap(texts[i].box, symbol.box) &&
                    (thing(symbol) != thing(texts[i]) || straddles(texts[i], symbol)))
                    found_.text_symbol.push_back("text " + texts[i].text + " on a symbol");
        }
        for (std::size_t i = 0; i < symbols.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                if (thing(symbols[i]) != thing(symbols[j]) && overlap(symbols[i].box, symbols[j].box))
                    found_.symbol_symbol.push_back("symbol on symbol");
    }
    void compare_piece(const DrawnPiece& piece) {
        for (const Mark& text : canvas_.texts())
            if (overlap(piece.box(), text.box))
                found_.text_line.push_back("line " + name(piece) + " on text " + text.text);
        for (const Mark& symbol : canvas_.symbols()) {
            const Box inner{symbol.box.left + 0.25, symbol.box.top + 0.25, symbol.box.right - 0.25,
                            symbol.box.bottom - 0.25};
            if (!belongs(piece, symbol) && overlap(piece.core(), inner))
                found_.line_symbol.push_back("line " + name(piece) + " through a symbol");
        }
    }
    void compare_pieces() {
        for (std::size_t i = 0; i < pieces_.size(); ++i)
            for (std::size_t j = 0; j < i; ++j) {
                const DrawnPiece &a = pieces_[i], &b = pieces_[j];
                if ((a.place != b.place || a.run != b.run) && on_top(a, b))
                    found_.line_line.push_back("line " + name(a) + " along " + name(b) + " at " +
                                               number(a.a.x) + ',' + number(a.a.y));
            }
    }
    // Side by side for a while, nearer than they are wide.
    static bool on_top(const DrawnPiece& p, const DrawnPiece& q) {
        const auto shared = [](double a, double b, double c, double d) {
            return std::min(std::max(a, b), std::max(c, d)) - std::max(std::min(a, b), std::min(c, d));
        };
        const double reach = p.half + q.half - 0.05;
        if (p.upright() && q.upright() && std::abs(p.a.x - q.a.x) < reach)
            return shared(p.a.y, p.b.y, q.a.y, q.b.y) > 0.3;
        if (p.flat() && q.flat() && std::abs(p.a.y - q.a.y) < reach)
            return shared(p.a.x, p.b.x, q.a.x, q.b.x) > 0.3;
        return false;
    }

    const SheetPlan& plan_;
    const Canvas& canvas_;
    std::vector<DrawnPiece> pieces_;
    Collisions found_;
};

inline void add(Collisions& to, const Collisions& more) {
    const auto append = [](std::vector<std::string>& list, const std::vector<std::string>& other) {
        list.insert(list.end(), other.begin(), other.end());
    };
    append(to.text_text, more.text_text), append(to.text_line, more.text_line);
    append(to.text_symbol, more.text_symbol), append(to.line_symbol, more.line_symbol);
    append(to.symbol_symbol, more.symbol_symbol), append(to.line_line, more.line_line);
    append(to.outside, more.outside);
}

inline SheetFigures figures(const SheetPlan& plan, const SheetOptions& options = {}) {
    SheetFigures out;
    out.pages = plan.pages;
    out.scale = plan.scale;
    out.wires = plan.model->wires;
    const std::vector<Canvas> canvases = draw_pages(plan, options);
    for (std::size_t page = 0; page < canvases.size(); ++page) {
        add(out.found, PageMeasure(plan, canvases[page], static_cast<int>(page)).found());
        for (const Mark& text : canvases[page].texts())
            out.smallest_text = std::min(out.smallest_text, text.size);
    }
    for (const PlacedStrip& strip : plan.strips) {
        const Tally counted = tally(strip.layout);
        out.crossings += counted.crossings;
        out.bends += counted.bends;
        for (const Run& run : strip.layout.runs) out.cut_wires += strip.layout.line(run.line).stub;
    }
    return out;
}

// One strip alone, on a paper as large as it needs.
inline Collisions measure(const Layout& layout) {
    SheetPlan plan;
    plan.model = std::shared_ptr<const SheetModel>(std::shared_ptr<void>(), layout.model);
    plan.paper = {1e6, 1e6};
    PlacedStrip strip;
    strip.strip = 0;
    strip.layout = layout;
    strip.x = strip.y = 1000;
    plan.strips.push_back(std::move(strip));
    Canvas canvas(light_palette);
    canvas.enter_place(0, 1000, 1000, 1, layout.top);
    draw_strip(canvas, layout, choose_tints(*layout.model, light_palette),
               [](int) { return std::string("A1"); });
    canvas.leave_place();
    return PageMeasure(plan, canvas, 0).found();
}

// Hangs flags on everything, one to five each, as a harness that is wrong everywhere has them.
inline void flag_everything(SheetModel& model) {
    int number = 0;
    const auto hang = [&](std::vector<Flag>& flags, std::size_t index) {
        flags.clear();
        for (std::size_t i = 0; i <= index % 5; ++i)
            flags.push_back({++number % 150 + 1, i % 2 == 0 ? Severity::error : Severity::warning});
    };
    for (std::size_t i = 0; i < model.elements.size(); ++i)
        if (model.elements[i].form != Form::pennant) hang(model.elements[i].flags, i);
    for (std::size_t i = 0; i < model.lines.size(); ++i)
        if (model.lines[i].is_wire()) hang(model.lines[i].flags, i);
}

// Spoils a sheet as a clumsy hand would: every third label slips by 3 mm, every third part by 12, a strip is
// put halfway onto its neighbour. A measure that stays at nothing then measures nothing.
inline void spoil(SheetPlan& plan) {
    for (PlacedStrip& strip : plan.strips)
        for (std::size_t i = 0; i < strip.layout.nodes.size(); ++i) {
            Node& node = strip.layout.nodes[i];
            if (node.type == NodeType::label && i % 3 == 0) node.y += 3;
            if (node.type == NodeType::element && i % 3 == 0) node.y += 12;
        }
    for (std::size_t i = 1; i < plan.strips.size(); ++i)
        if (plan.strips[i].page == plan.strips[i - 1].page) plan.strips[i].y = plan.strips[i - 1].y + 5;
    for (PlacedStrip& strip : plan.strips)
        if (strip.layout.paths.size() > 1) strip.layout.paths[0] = strip.layout.paths[1];
}

}  // namespace loomward::sheet
