#include "render/sheet/layout/sheet_place.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "render/sheet/layout/sheet_graph.hpp"
#include "render/sheet/layout/sheet_route.hpp"

namespace loomward::sheet {
namespace {

// Larger strips are stacked without the library: its time grows faster than they do.
constexpr std::size_t height_library_limit = 1000;

// Graphviz pulls clusters together and bends the lines into a bar unless the lines weigh more.
constexpr int weight_scale = 150;

bool is_label(const Node& node) {
    return node.type == NodeType::label || node.type == NodeType::pass;
}

// What a layout may be tried with besides.
struct Variant {
    bool stretch = true;
    bool weights = true;      // of the lines by their width
    bool loose_bars = false;  // the landings of a bar are not held together
};

HeightQuestion question_for(const Layout& layout, const Variant& variant, double gap) {
    HeightQuestion question;
    question.gap = gap;
    std::map<int, int> members;
    for (const Node& node : layout.nodes) ++members[node.cluster];
    std::vector<int> asked_as(layout.nodes.size(), -1);
    for (std::size_t i = 0; i < layout.nodes.size(); ++i) {
        const Node& node = layout.nodes[i];
        if (node.carrier >= 0) continue;
        HeightQuestion::Node asked;
        asked.width = node.width + node.pad_left + node.pad_right;
        asked.height = node.height + node.pad_top + node.pad_bottom;
        asked.column = node.column;
        asked.cluster = members[node.cluster] > 1 && !variant.loose_bars ? node.cluster : -1;
        if (is_label(node)) asked.ports.push_back(node.row);
        for (const Landing& landing : node.landings) asked.ports.push_back(landing.y + node.pad_top);
        asked_as[i] = static_cast<int>(question.nodes.size());
        question.nodes.push_back(std::move(asked));
    }
    // Of a guest: a port of its host.
    const auto at = [&](int index, double y) {
        const Node& node = layout.node(index);
        const Node& body = layout.node(layout.body_of(index));
        if (node.carrier < 0) return std::pair(asked_as[static_cast<std::size_t>(index)], y + node.pad_top);
        const int asked = asked_as[static_cast<std::size_t>(node.carrier)];
        const double port = y + node.carrier_dy + body.pad_top;
        question.nodes[static_cast<std::size_t>(asked)].ports.push_back(port);
        return std::pair(asked, port);
    };
    for (const Link& link : layout.links) {
        const int soft = is_label(layout.node(link.left)) + is_label(layout.node(link.right));
        const int base = soft == 2 ? 8 : soft == 1 ? 2 : 1;
        const double area_mm2 = variant.weights ? layout.line(link.line).area_mm2 : 1;
        const int heft = 1 + static_cast<int>(1.5 * std::sqrt(area_mm2));
        const auto [left, left_y] = at(link.left, link.left_y);
        const auto [right, right_y] = at(link.right, link.right_y);
        question.edges.push_back({left, right, left_y, right_y, base * heft * weight_scale});
    }
    return question;
}

// Where the library fails: column by column, each node as near to its left neighbours as the ones above
// allow.
std::vector<double> stacked_heights(const Layout& layout) {
    std::map<int, std::vector<std::size_t>> columns;
    for (std::size_t i = 0; i < layout.nodes.size(); ++i)
        if (layout.nodes[i].carrier < 0) columns[layout.nodes[i].column].push_back(i);
    std::vector<std::vector<std::size_t>> before(layout.nodes.size());
    for (std::size_t i = 0; i < layout.links.size(); ++i)
        before[static_cast<std::size_t>(layout.body_of(layout.links[i].right))].push_back(i);
    std::vector<double> tops(layout.nodes.size(), 0);
    for (auto& [column, members] : columns) {
        std::vector<double> wish(layout.nodes.size(), 0);
        for (const std::size_t member : members) {
            for (const std::size_t each : before[member]) {
                const Link& link = layout.links[each];
                wish[member] +=
                    (tops[static_cast<std::size_t>(layout.body_of(link.left))] + link.left_y - link.right_y) /
                    static_cast<double>(before[member].size());
            }
        }
        std::stable_sort(members.begin(), members.end(),
                         [&](std::size_t a, std::size_t b) { return wish[a] < wish[b]; });
        double free = -1e9;
        for (const std::size_t member : members) {
            const Node& node = layout.nodes[member];
            tops[member] = std::max(wish[member], free);
            free = tops[member] + node.height + node.pad_top + node.pad_bottom + node_gap + 2;
        }
    }
    return tops;
}

void set_heights(Layout& layout, const Variant& variant, double gap) {
    std::optional<std::vector<double>> tops;
    if (layout.lines.size() <= height_library_limit) tops = ask_heights(question_for(layout, variant, gap));
    std::size_t next = 0;
    const bool stacked = !tops;
    if (stacked) tops = stacked_heights(layout);
    for (std::size_t i = 0; i < layout.nodes.size(); ++i) {
        Node& node = layout.nodes[i];
        if (node.carrier >= 0) continue;
        node.y = std::round(((*tops)[stacked ? i : next++] + node.pad_top) * 100) / 100;
    }
    layout.move_guests();
}

std::vector<EndHeight> learned(const Layout& layout) {
    std::vector<EndHeight> heights(layout.runs.size() * 2);
    const auto line_y = [&](int index) {
        const Node& node = layout.node(index);
        return node.y + node.row;
    };
    for (std::size_t i = 0; i < layout.runs.size(); ++i) {
        const Run& run = layout.runs[i];
        const auto landing = [&](int node, bool at_from) {
            for (const Landing& each : layout.node(node).landings)
                if (each.line == run.line && each.at_from == at_from) return layout.node(node).y + each.y;
            return layout.node(node).y;
        };
        const double left = landing(run.nodes.front(), run.left_is_from);
        const double right = landing(run.nodes.back(), !run.left_is_from);
        const std::size_t n = run.nodes.size();
        if (n == 2) {  // a stub: its pennant stands in place of a label
            const double pennant = run.left_is_from == layout.stub_begins_at_from(run) ? left : right;
            heights[i * 2] = heights[i * 2 + 1] = {pennant, pennant};
            continue;
        }
        EndHeight& at_left = heights[i * 2 + (run.left_is_from ? 0 : 1)];
        EndHeight& at_right = heights[i * 2 + (run.left_is_from ? 1 : 0)];
        at_left = {line_y(run.nodes[1]), n > 3 ? line_y(run.nodes[2]) : right};
        at_right = {line_y(run.nodes[n - 2]), n > 3 ? line_y(run.nodes[n - 3]) : left};
    }
    return heights;
}

// Nodes of others inside the span of a bar.
int strangers(const Layout& layout) {
    std::map<int, std::pair<double, double>> spans;
    std::map<int, int> column;
    for (const Node& node : layout.nodes) {
        if (node.cluster < 0) continue;
        const auto [entry, fresh] = spans.try_emplace(node.cluster, node.y, node.y + node.height);
        entry->second.first = std::min(entry->second.first, node.y);
        entry->second.second = std::max(entry->second.second, node.y + node.height);
        column[node.cluster] = node.column;
    }
    if (spans.empty()) return 0;
    int count = 0;
    for (const Node& node : layout.nodes)
        for (const auto& [bar, span] : spans)
            count += node.cluster != bar && node.column == column[bar] && node.y > span.first &&
                     node.y + node.height < span.second;
    return count;
}

double score(const Layout& layout) {
    const Tally counted = tally(layout);
    return 25.0 * counted.crossings + 120.0 * counted.on_top + 600.0 * strangers(layout) + counted.travel +
           0.8 * counted.bends + 0.7 * layout.height();
}

}  // namespace

void Layout::move_guests() {
    for (Node& each : nodes) {
        if (each.carrier < 0) continue;
        const Node& host = node(each.carrier);
        each.x = host.x + each.carrier_dx;
        each.y = host.y + each.carrier_dy;
    }
}

bool Layout::arrow_leftward(const Run& run) const {
    const Line& each = line(run.line);
    if (!each.current_known) return false;
    const bool away_from_left_end = each.tail_is_from == run.left_is_from;
    return run.turns && run.turn_side == Side::left ? away_from_left_end : !away_from_left_end;
}

namespace {

struct Attempt {
    Layout layout;
    double score = 0;
};

Attempt attempt(const SheetModel& model, const Strip& strip, const Columns& columns, const Variant& variant,
                int runs, const PlaceOptions& options) {
    Heights heights;
    heights.stretch = variant.stretch;
    heights.gap = options.gap;
    Attempt best;
    for (int i = 0; i < runs; ++i) {
        Layout layout = make_nodes(model, strip, columns, heights);
        set_heights(layout, variant, options.gap);
        heights.of = learned(layout);
        snap(layout);
        level_out(layout, false);
        route(layout);
        const double now = runs > 1 ? score(layout) : 0;
        // The first run knew nothing yet: its headings stand anywhere.
        if (i <= 1 || now < best.score) best = {std::move(layout), now};
    }
    return best;
}

}  // namespace

Layout place(const SheetModel& model, const Strip& strip, const PlaceOptions& options) {
    const Columns columns = choose_columns(model, strip);
    // Later runs and variants cost as much as the first; large strips get fewer.
    const std::size_t size = strip.lines.size();
    const int runs = size > 600 ? 1 : size > 150 || !options.thorough ? 2 : options.few_tries ? 3 : 4;
    Variant first;
    first.stretch = !options.compact;
    Attempt best = attempt(model, strip, columns, first, runs, options);
    if (size > 150 || !options.thorough) return std::move(best.layout);
    // Another way must be clearly better, or a small change of the harness would turn the whole sheet over.
    for (const Variant& variant : {Variant{false, true, false}, Variant{true, false, false},
                                   Variant{true, true, true}, Variant{false, false, true}}) {
        if (options.compact && variant.stretch) continue;
        if (options.few_tries && (!variant.weights || (variant.loose_bars && variant.stretch))) continue;
        Attempt other = attempt(model, strip, columns, variant, runs - 1, options);
        if (other.score < best.score * 0.9 - 10) best = std::move(other);
    }
    return std::move(best.layout);
}

}  // namespace loomward::sheet
