#include "render/sheet/layout/sheet_route.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace loomward::sheet {
namespace {

constexpr double level = 0.12;  // a step smaller than this is drawn straight

double landing_y(const Layout& layout, int node, double y) {
    return layout.node(node).y + y;
}

double column_left(const Node& node, double column_width, double x) {
    if (node.type == NodeType::label) return x;
    return x + (column_width - node.width - node.pad_left - node.pad_right) / 2 + node.pad_left;
}

struct ChannelPieces {
    std::vector<Piece> pieces;
    std::vector<std::pair<std::size_t, bool>> owner;  // link, or run where it turns
};

// The vertical pieces of every channel; a channel is known by the column at its left.
std::map<int, ChannelPieces> collect_pieces(const Layout& layout) {
    std::map<int, ChannelPieces> channels;
    for (std::size_t i = 0; i < layout.links.size(); ++i) {
        const Link& link = layout.links[i];
        const double a = landing_y(layout, link.left, link.left_y),
                     b = landing_y(layout, link.right, link.right_y);
        if (std::abs(a - b) < level) continue;
        const Line& line = layout.line(link.line);
        ChannelPieces& channel = channels[layout.node(link.left).column];
        channel.pieces.push_back({a, b, halo_width(line.area_mm2, line.unguarded), -1});
        channel.owner.emplace_back(i, false);
    }
    for (std::size_t i = 0; i < layout.runs.size(); ++i) {
        const Run& run = layout.runs[i];
        if (!run.turns) continue;
        const Line& line = layout.line(run.line);
        const Node &out = layout.node(run.nodes[1]), &back = layout.node(run.nodes[2]);
        ChannelPieces& channel = channels[run.turn_side == Side::right ? out.column : out.column - 1];
        channel.pieces.push_back(
            {out.y + out.row, back.y + back.row, halo_width(line.area_mm2, line.unguarded), -1});
        channel.owner.emplace_back(i, true);
    }
    return channels;
}

// The first points of a line at one of its ends, from the pin outward.
void add_end(const Layout& layout, int node_index, const Run& run, bool at_from, std::vector<Point>& points) {
    const Node& node = layout.node(node_index);
    for (const Landing& landing : node.landings) {
        if (landing.line != run.line || landing.at_from != at_from) continue;
        const double y = node.y + landing.y;
        for (const Landing& under : node.unders)
            if (under.line == run.line && under.at_from == at_from) {
                points.push_back({landing_x(layout, node, under.side), y});
                return;
            }
        points.push_back({landing_x(layout, node, landing.side), y});
        return;
    }
}

// Levels tiny steps and drops points in the middle of a straight piece.
std::vector<Point> tidied(const std::vector<Point>& points) {
    std::vector<Point> out;
    for (Point p : points) {
        if (!out.empty()) {
            if (std::abs(p.y - out.back().y) < level + 0.01 && std::abs(p.x - out.back().x) > 1e-6)
                p.y = out.back().y;
            if (std::hypot(p.x - out.back().x, p.y - out.back().y) < 1e-6) continue;
        }
        if (out.size() > 1) {
            const Point a = out[out.size() - 2], b = out.back();
            const bool upright = std::abs(a.x - b.x) < 1e-6 && std::abs(b.x - p.x) < 1e-6;
            const bool flat = std::abs(a.y - b.y) < 1e-6 && std::abs(b.y - p.y) < 1e-6;
            if (upright || flat) {
                out.back() = p;
                continue;
            }
        }
        out.push_back(p);
    }
    return out;
}

struct Tracks {
    std::vector<double> of_link;       // below 0: straight
    std::vector<double> of_turn;       // by run
    std::vector<double> jog_x, jog_y;  // by link; jog_x below 0: none
};

void add_step(const Layout& layout, const Tracks& tracks, int link_index, bool leftward,
              std::vector<Point>& points) {
    const Link& link = layout.links[static_cast<std::size_t>(link_index)];
    const double a = landing_y(layout, link.left, link.left_y),
                 b = landing_y(layout, link.right, link.right_y);
    const double x = tracks.of_link[static_cast<std::size_t>(link_index)];
    if (x < 0) return;
    const double jog_x = tracks.jog_x[static_cast<std::size_t>(link_index)],
                 jog_y = tracks.jog_y[static_cast<std::size_t>(link_index)];
    std::vector<Point> step = {{x, a}, {x, b}};
    if (jog_x >= 0) step = {{x, a}, {x, jog_y}, {jog_x, jog_y}, {jog_x, b}};
    if (leftward) std::reverse(step.begin(), step.end());
    points.insert(points.end(), step.begin(), step.end());
}

void add_middle(const Layout& layout, int node_index, std::vector<Point>& points) {
    const Node& node = layout.node(node_index);
    points.push_back({node.x + node.width / 2, node.y + node.row});
}

std::vector<Point> path_of(const Layout& layout, const Tracks& tracks, std::size_t run_index) {
    const Run& run = layout.runs[run_index];
    std::vector<Point> points, tail;
    add_end(layout, run.nodes.front(), run, run.left_is_from, points);
    if (run.turns) {
        const bool left = run.turn_side == Side::left;
        add_step(layout, tracks, run.links[0], left, points);
        add_middle(layout, run.nodes[1], points);
        const Node &out = layout.node(run.nodes[1]), &back = layout.node(run.nodes[2]);
        points.push_back({tracks.of_turn[run_index], out.y + out.row});
        points.push_back({tracks.of_turn[run_index], back.y + back.row});
        add_middle(layout, run.nodes[2], points);
        add_step(layout, tracks, run.links[1], !left, points);
    } else {
        for (std::size_t i = 0; i < run.links.size(); ++i) {
            if (i > 0) add_middle(layout, run.nodes[i], points);
            add_step(layout, tracks, run.links[i], false, points);
        }
    }
    add_end(layout, run.nodes.back(), run, !run.left_is_from, tail);
    points.insert(points.end(), tail.begin(), tail.end());
    return tidied(points);
}

}  // namespace

double landing_x(const Layout& layout, const Node& node, Side side) {
    if (node.type == NodeType::landing) return bar_x(layout, node.element);
    const Element& element = layout.element(node);
    const double middle = node.x + node.width / 2 + node.shift;
    switch (element.form) {
        case Form::bar:
        case Form::point:
            return middle;
        case Form::symbol:
        case Form::contact: {
            if (element.on_bar >= 0 && side == (element.left_of_bar ? Side::right : Side::left))
                return bar_x(layout, element.on_bar);
            const double half = body_size(element.symbol).length / 2;
            return side == Side::left ? middle - half : middle + half;
        }
        case Form::pennant:  // the arrow stands on the line, outside the pennant
            return side == Side::left ? node.x + node.shift : node.x + node.width - node.shift;
        case Form::box:
            break;
    }
    return side == Side::left ? node.x : node.x + node.width;
}

double bar_x(const Layout& layout, int bar) {
    const auto found = layout.bars.find(bar);
    return found == layout.bars.end() ? 0 : found->second;
}

namespace {

// A bar stands in the middle of its landings' column; with devices seated on it, beside the longest of them.
void place_bars(Layout& layout) {
    for (const Node& node : layout.nodes) {
        if (node.cluster < 0) continue;
        const double middle = node.x + node.width / 2;
        if (node.type != NodeType::element)
            layout.bars.try_emplace(node.cluster, middle);
        else
            layout.bars[node.cluster] =
                middle + node.shift + (layout.element(node).left_of_bar ? seat_reach : -seat_reach);
    }
}

}  // namespace

void route(Layout& layout) {
    std::map<int, double> widths;
    for (const Node& node : layout.nodes)
        if (node.carrier < 0)
            widths[node.column] = std::max(widths[node.column], node.width + node.pad_left + node.pad_right);
    std::map<int, ChannelPieces> channels = collect_pieces(layout);
    for (auto& [column, channel] : channels)
        widths.try_emplace(column, 0.0);  // a turn beyond the last column
    Tracks tracks{std::vector<double>(layout.links.size(), -1), std::vector<double>(layout.runs.size(), 0),
                  std::vector<double>(layout.links.size(), -1), std::vector<double>(layout.links.size(), 0)};
    std::map<int, double> left_edges;
    double x = 0;
    for (auto entry = widths.begin(); entry != widths.end(); ++entry) {
        left_edges[entry->first] = x;
        x += entry->second;
        const auto found = channels.find(entry->first);
        if (found == channels.end()) {
            if (std::next(entry) != widths.end()) x += 2.0;
            continue;
        }
        const Channel channel = pack_channel(found->second.pieces);
        for (std::size_t i = 0; i < channel.x.size(); ++i) {
            const auto [owner, turns] = found->second.owner[i];
            (turns ? tracks.of_turn : tracks.of_link)[owner] = x + channel.x[i];
            if (turns || channel.jog_x[i] < 0) continue;
            tracks.jog_x[owner] = x + channel.jog_x[i];
            tracks.jog_y[owner] = channel.jog_y[i];
        }
        x += channel.width;
    }
    layout.width = x;
    layout.top = 1e9;
    layout.bottom = -1e9;
    for (Node& node : layout.nodes) {
        if (node.carrier < 0) node.x = column_left(node, widths[node.column], left_edges[node.column]);
        layout.top = std::min(layout.top, node.y);
        layout.bottom = std::max(layout.bottom, node.y + node.height);
    }
    layout.move_guests();
    layout.bars.clear();
    place_bars(layout);
    layout.paths.clear();
    for (std::size_t i = 0; i < layout.runs.size(); ++i) layout.paths.push_back(path_of(layout, tracks, i));
}

namespace {

struct Straight {
    double at = 0, low = 0,
           high = 0;  // a horizontal piece at y = at from x low to high, or the other way about
    int run = 0;
    double half = 0;  // of its width
};

void sort_pieces(std::vector<Straight>& pieces) {
    std::stable_sort(pieces.begin(), pieces.end(),
                     [](const Straight& a, const Straight& b) { return a.at < b.at; });
}

// Pieces that run side by side nearer than they are wide.
int count_on_top(const std::vector<Straight>& pieces) {
    double widest = 0;
    for (const Straight& piece : pieces) widest = std::max(widest, piece.half);
    int count = 0;
    for (std::size_t i = 0; i < pieces.size(); ++i)
        for (std::size_t j = i + 1;
             j < pieces.size() && pieces[j].at - pieces[i].at < pieces[i].half + widest; ++j)
            count += pieces[i].run != pieces[j].run &&
                     pieces[j].at - pieces[i].at < pieces[i].half + pieces[j].half - 0.05 &&
                     std::min(pieces[i].high, pieces[j].high) - std::max(pieces[i].low, pieces[j].low) > 0.3;
    return count;
}

}  // namespace

Tally tally(const Layout& layout) {
    Tally tally;
    std::vector<Straight> flat, upright;
    for (std::size_t i = 0; i < layout.paths.size(); ++i) {
        const std::vector<Point>& path = layout.paths[i];
        const double width = wire_width(layout.line(layout.runs[i].line).area_mm2), weight = 0.4 + width;
        tally.bends += static_cast<int>(path.size()) - 2;
        for (std::size_t k = 0; k + 1 < path.size(); ++k) {
            const Point a = path[k], b = path[k + 1];
            tally.travel += std::abs(a.y - b.y) * weight;
            if (std::abs(a.y - b.y) < 1e-6)
                flat.push_back({a.y, std::min(a.x, b.x), std::max(a.x, b.x), static_cast<int>(i), width / 2});
            else
                upright.push_back(
                    {a.x, std::min(a.y, b.y), std::max(a.y, b.y), static_cast<int>(i), width / 2});
        }
    }
    sort_pieces(flat);
    sort_pieces(upright);
    tally.on_top = count_on_top(flat) + count_on_top(upright);
    for (const Straight& v : upright) {
        auto h = std::upper_bound(flat.begin(), flat.end(), v.low + 1e-6,
                                  [](double y, const Straight& each) { return y < each.at; });
        for (; h != flat.end() && h->at < v.high - 1e-6; ++h)
            tally.crossings += h->run != v.run && h->low + 1e-6 < v.at && v.at < h->high - 1e-6;
    }
    return tally;
}

}  // namespace loomward::sheet
