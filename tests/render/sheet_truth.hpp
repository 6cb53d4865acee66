// Measures whether a sheet tells the truth: how long its joints are drawn, whether references name the square
// of what they refer to, which lines are cut, how full its pages are. By what is drawn, not by what drew it.
#pragma once
#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "tests/render/sheet_measure.hpp"

namespace loomward::sheet {

struct SheetTruth {
    double longest_joint_mm = 0;           // on paper
    int references = 0, flags_listed = 0;  // that were looked at
    std::vector<std::string> wrong;        // of them
    double cut_mm2 = 0;                    // of all lines that go on elsewhere
    int heavy_cuts = 0;                    // of 10 mm2 and more
    std::vector<std::string> kinks;        // see kinks_of
    double emptiest = 1;                   // of the pages: how much of its height is in use
};

// Of parts that touch, and of joints that are lines yet.
inline double longest_joint(const SheetPlan& plan) {
    double longest = 0;
    for (const PlacedStrip& strip : plan.strips) {
        const Layout& layout = strip.layout;
        for (const Node& node : layout.nodes) {
            double length = 0;
            for (const Box& link : node.links) length += std::hypot(link.width(), link.height());
            longest = std::max(longest, length * plan.scale);
        }
        for (std::size_t i = 0; i < layout.runs.size(); ++i) {
            if (layout.line(layout.runs[i].line).is_labelled()) continue;
            double length = 0;
            for (std::size_t k = 0; k + 1 < layout.paths[i].size(); ++k)
                length += std::hypot(layout.paths[i][k + 1].x - layout.paths[i][k].x,
                                     layout.paths[i][k + 1].y - layout.paths[i][k].y);
            longest = std::max(longest, length * plan.scale);
        }
    }
    return longest;
}

// Where the ends of a wire stand that are no pennants: by name, and whether it is the rest of one.
inline std::map<std::pair<std::string, bool>, Spot> real_ends(const SheetPlan& plan) {
    std::map<std::pair<std::string, bool>, Spot> ends;
    for (const PlacedStrip& strip : plan.strips)
        for (std::size_t i = 0; i < strip.layout.runs.size(); ++i) {
            const Layout& layout = strip.layout;
            const Run& run = layout.runs[i];
            for (const bool front : {true, false}) {
                const Node& node = layout.node(front ? run.nodes.front() : run.nodes.back());
                if (layout.element(node).form == Form::pennant) continue;
                const Point end = front ? layout.paths[i].front() : layout.paths[i].back();
                ends[{layout.line(run.line).name, layout.line(run.line).stub}] = {
                    strip.page, strip.x + end.x * plan.scale, strip.y + (end.y - layout.top) * plan.scale};
            }
        }
    return ends;
}

// The square at the end of a text: "K1.out /2/B3" -> "2/B3".
inline std::string square_in(const std::string& text) {
    const std::size_t at = text.rfind(" /");
    return at == std::string::npos ? std::string() : text.substr(at + 2);
}

inline void check_pennants(const SheetPlan& plan, const std::vector<Canvas>& pages, SheetTruth& truth) {
    const auto ends = real_ends(plan);
    for (const Canvas& page : pages)
        for (const Mark& text : page.texts()) {
            if (text.place < 0 || text.owner < 0 || square_in(text.text).empty()) continue;
            const Layout& layout = plan.strips[static_cast<std::size_t>(text.place)].layout;
            if (text.owner >= static_cast<int>(layout.nodes.size())) continue;
            const Node& node = layout.node(text.owner);
            if (node.type != NodeType::element || layout.element(node).form != Form::pennant) continue;
            const Line& line = layout.line(node.landings.front().line);
            const auto found = ends.find({line.name, !line.stub});
            ++truth.references;
            if (found == ends.end() || plan.square(found->second) != square_in(text.text))
                truth.wrong.push_back("pennant of " + line.name + " says " + text.text);
        }
}

// Each flag in the list beside the square that the list names for it; `place` below 0 is the frame.
inline void check_flags(const SheetPlan& plan, const std::vector<Canvas>& pages, SheetTruth& truth) {
    for (std::size_t p = 0; p < pages.size(); ++p) {
        std::map<std::string, std::vector<std::string>> squares;  // of each number's flags on this page
        for (const Mark& mark : pages[p].texts())
            if (mark.flag && mark.place >= 0)
                squares[mark.text].push_back(
                    plan.square({static_cast<int>(p), (mark.box.left + mark.box.right) / 2,
                                 (mark.box.top + mark.box.bottom) / 2}));
        std::string number;
        for (const Mark& mark : pages[p].texts()) {
            if (mark.place >= 0) continue;
            if (mark.flag) number = mark.text;
            const std::string square = square_in(mark.text);
            if (mark.flag || number.empty() || square.empty() || squares[number].empty()) continue;
            ++truth.flags_listed;
            const std::vector<std::string>& real = squares[number];
            if (std::find(real.begin(), real.end(), square) == real.end())
                truth.wrong.push_back("finding " + number + " says " + mark.text);
        }
    }
}

inline double emptiest_page(const SheetPlan& plan) {
    std::vector<double> top(static_cast<std::size_t>(plan.pages), 1e9), bottom(top.size(), -1e9);
    for (const PlacedStrip& strip : plan.strips) {
        const auto p = static_cast<std::size_t>(strip.page);
        top[p] = std::min(top[p], strip.y - caption_height * plan.scale);
        bottom[p] = std::max(bottom[p], strip.y + strip.height * plan.scale);
    }
    double least = 1;
    for (std::size_t p = 0; p < top.size(); ++p)
        least = std::min(least, std::max(0.0, bottom[p] - top[p]) / plan.field.height());
    return least;
}

// Steps of lines that are shorter than a millimetre on paper: they look like slips of the pen.
inline std::vector<std::string> kinks_of(const SheetPlan& plan) {
    std::vector<std::string> kinks;
    for (const PlacedStrip& strip : plan.strips)
        for (std::size_t i = 0; i < strip.layout.paths.size(); ++i) {
            const std::vector<Point>& path = strip.layout.paths[i];
            for (std::size_t k = 0; k + 1 < path.size(); ++k) {
                const double step = std::abs(path[k + 1].y - path[k].y) * plan.scale;
                if (step <= 1e-6 || step >= 1) continue;
                const Line& line = strip.layout.line(strip.layout.runs[i].line);
                kinks.push_back("line " + line.name + ' ' + line.title + " steps by " + number(step) + " mm");
            }
        }
    return kinks;
}

inline SheetTruth truth_of(const SheetPlan& plan, const SheetOptions& options = {}) {
    SheetTruth truth;
    const std::vector<Canvas> pages = draw_pages(plan, options);
    truth.longest_joint_mm = longest_joint(plan);
    check_pennants(plan, pages, truth);
    check_flags(plan, pages, truth);
    for (const PlacedStrip& strip : plan.strips)
        for (const Run& run : strip.layout.runs) {
            const Line& line = strip.layout.line(run.line);
            if (!line.stub) continue;
            truth.cut_mm2 += line.area_mm2;
            truth.heavy_cuts += line.area_mm2 >= 10;
        }
    truth.kinks = kinks_of(plan);
    truth.emptiest = emptiest_page(plan);
    return truth;
}

// Labels of two plans of one harness that do not stand at the same place.
inline int moved_labels(const SheetPlan& a, const SheetPlan& b, const SheetOptions& options_a = {},
                        const SheetOptions& options_b = {}) {
    const auto places = [](const SheetPlan& plan, const SheetOptions& options) {
        std::map<std::string, std::pair<double, double>> found;
        const std::vector<Canvas> pages = draw_pages(plan, options);
        for (std::size_t p = 0; p < pages.size(); ++p)
            for (const Mark& mark : pages[p].texts()) {
                if (mark.place < 0 || mark.flag || mark.owner < 0) continue;
                const Layout& layout = plan.strips[static_cast<std::size_t>(mark.place)].layout;
                if (mark.owner >= static_cast<int>(layout.nodes.size())) continue;
                const Node& node = layout.node(mark.owner);
                if (node.type == NodeType::label && mark.text == layout.line(node.line).name)
                    found[mark.text] = {mark.box.left + 1000 * static_cast<double>(p), mark.box.top};
            }
        return found;
    };
    const auto first = places(a, options_a), second = places(b, options_b);
    int moved = 0;
    for (const auto& [name, place] : first) {
        const auto other = second.find(name);
        moved += other == second.end() || std::abs(other->second.first - place.first) > 0.01 ||
                 std::abs(other->second.second - place.second) > 0.01;
    }
    return moved;
}

}  // namespace loomward::sheet
