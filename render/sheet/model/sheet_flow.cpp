// Which way each line is drawn. Current runs from left to right, with three exceptions that keep a sheet
// calm: a return that no collecting bar takes up, every wire between such a bar and the source, and the way
// from a charger to the source lie with their left end toward the source; they get an arrow head instead.
#include <algorithm>
#include <limits>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

constexpr int far_away = std::numeric_limits<int>::max() / 4;

// Pins as nodes of a graph in which current may pass: lines, and contacts, fuses and the like.
struct PinGraph {
    struct Way {
        int to = 0;
        int edge = 0;  // a line's number, or a larger one
    };
    std::vector<int> first;  // by element: number of its first pin
    std::vector<std::vector<Way>> next;
    int edges = 0;

    explicit PinGraph(const SheetModel& model) {
        int count = 0;
        for (const Element& element : model.elements) {
            first.push_back(count);
            count += static_cast<int>(std::max<std::size_t>(element.pins.size(), 1));
        }
        next.resize(static_cast<std::size_t>(count));
        for (const Line& line : model.lines) link(pin(line.from), pin(line.to));
        for (std::size_t i = 0; i < model.elements.size(); ++i) {
            for (const auto& [a, b] : model.elements[i].conducts) link(first[i] + a, first[i] + b);
            if (const int bar = model.elements[i].on_bar; bar >= 0)
                link(first[i] + model.elements[i].seat_pin, first[static_cast<std::size_t>(bar)]);
        }
    }
    int pin(const End& end) const { return first[static_cast<std::size_t>(end.element)] + end.pin; }
    void link(int a, int b) {
        next[static_cast<std::size_t>(a)].push_back({b, edges});
        next[static_cast<std::size_t>(b)].push_back({a, edges++});
    }
};

// Steps from the nearest seed; pins that a seed of an earlier wave reached are left alone by later ones.
void flood(const PinGraph& graph, const std::vector<int>& seeds, std::vector<int>& distance) {
    std::vector<int> queue;
    for (const int seed : seeds)
        if (distance[static_cast<std::size_t>(seed)] == far_away) {
            distance[static_cast<std::size_t>(seed)] = 0;
            queue.push_back(seed);
        }
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const PinGraph::Way& way : graph.next[static_cast<std::size_t>(queue[head])])
            if (distance[static_cast<std::size_t>(way.to)] == far_away) {
                distance[static_cast<std::size_t>(way.to)] =
                    distance[static_cast<std::size_t>(queue[head])] + 1;
                queue.push_back(way.to);
            }
}

// Edges that no loop of the graph contains, by number (depth first with a stack of its own).
std::vector<bool> bridges(const PinGraph& graph) {
    std::vector<bool> bridge(static_cast<std::size_t>(graph.edges));
    std::vector<int> seen(graph.next.size(), -1), low(graph.next.size(), 0);
    struct Frame {
        int pin, by_edge;
        std::size_t next_way;
    };
    int clock = 0;
    std::vector<Frame> stack;
    for (std::size_t root = 0; root < graph.next.size(); ++root) {
        if (seen[root] >= 0) continue;
        seen[root] = low[root] = clock++;
        stack.push_back({static_cast<int>(root), -1, 0});
        while (!stack.empty()) {
            Frame& top = stack.back();
            const auto here = static_cast<std::size_t>(top.pin);
            if (top.next_way < graph.next[here].size()) {
                const PinGraph::Way way = graph.next[here][top.next_way++];
                const auto there = static_cast<std::size_t>(way.to);
                if (way.edge == top.by_edge) continue;
                if (seen[there] >= 0) {
                    low[here] = std::min(low[here], seen[there]);
                } else {
                    seen[there] = low[there] = clock++;
                    stack.push_back({way.to, way.edge, 0});
                }
                continue;
            }
            const Frame done = top;
            stack.pop_back();
            if (stack.empty()) break;
            const auto parent = static_cast<std::size_t>(stack.back().pin);
            low[parent] = std::min(low[parent], low[here]);
            bridge[static_cast<std::size_t>(done.by_edge)] = low[here] > seen[parent];
        }
    }
    return bridge;
}

std::vector<int> distances(const SheetModel& model, const PinGraph& graph, Pole pole) {
    std::vector<int> distance(graph.next.size(), far_away);
    for (const bool main : {true, false}) {
        std::vector<int> seeds;
        for (std::size_t i = 0; i < model.elements.size(); ++i) {
            const Element& element = model.elements[i];
            if (!(main ? element.main_source : element.backup_source)) continue;
            for (std::size_t pin = 0; pin < element.pins.size(); ++pin)
                if (element.pins[pin].pole == pole) seeds.push_back(graph.first[i] + static_cast<int>(pin));
        }
        flood(graph, seeds, distance);
    }
    return distance;
}

// Steps from anything a source feeds, through parts of every kind: for signal and phase leads.
std::vector<int> depth_of_elements(const SheetModel& model) {
    std::vector<std::vector<int>> next(model.elements.size());
    for (const Line& line : model.lines) {
        next[static_cast<std::size_t>(line.from.element)].push_back(line.to.element);
        next[static_cast<std::size_t>(line.to.element)].push_back(line.from.element);
    }
    std::vector<int> depth(model.elements.size(), far_away), queue;
    const auto wave = [&](auto chosen) {
        for (std::size_t i = 0; i < model.elements.size(); ++i)
            if (depth[i] == far_away && chosen(model.elements[i]))
                depth[i] = 0, queue.push_back(static_cast<int>(i));
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const int to : next[static_cast<std::size_t>(queue[head])])
                if (depth[static_cast<std::size_t>(to)] == far_away) {
                    depth[static_cast<std::size_t>(to)] = depth[static_cast<std::size_t>(queue[head])] + 1;
                    queue.push_back(to);
                }
    };
    wave([](const Element& element) { return element.main_source; });
    wave([](const Element& element) { return element.backup_source; });
    return depth;
}

// What a line touches at its two ends, by element.
std::vector<std::vector<int>> lines_at(const SheetModel& model) {
    std::vector<std::vector<int>> at(model.elements.size());
    for (std::size_t i = 0; i < model.lines.size(); ++i) {
        at[static_cast<std::size_t>(model.lines[i].from.element)].push_back(static_cast<int>(i));
        at[static_cast<std::size_t>(model.lines[i].to.element)].push_back(static_cast<int>(i));
    }
    return at;
}

bool passes_on(const Element& element) {
    return element.form == Form::contact || element.form == Form::point ||
           (element.form == Form::symbol && !element.conducts.empty());
}

bool is_plain_load(const Element& element) {
    return element.symbol == Symbol::load || element.symbol == Symbol::lamp ||
           element.symbol == Symbol::motor_two;
}

// Follows a return upstream through contacts and the like to what it comes from.
const Element& origin_of(const SheetModel& model, const std::vector<std::vector<int>>& at, int line) {
    int element = model.lines[static_cast<std::size_t>(line)].tail().element;
    for (int steps = 0; steps < 50; ++steps) {
        const Element& here = model.elements[static_cast<std::size_t>(element)];
        if (!passes_on(here)) return here;
        int into = -1, count = 0;
        for (const int each : at[static_cast<std::size_t>(element)]) {
            const Line& other = model.lines[static_cast<std::size_t>(each)];
            if (other.is_return && other.head().element == element && each != line) into = each, ++count;
        }
        if (count != 1) return here;
        line = into;
        element = model.lines[static_cast<std::size_t>(line)].tail().element;
    }
    return model.elements[static_cast<std::size_t>(element)];
}

// A return bar collects if four or more plain loads return to it. Drives and converters do so too then, since
// returns of both kinds would cross each other otherwise; unless they are many, and the bar had better stay
// near the source.
void find_collectors(SheetModel& model, const std::vector<std::vector<int>>& at) {
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        Element& element = model.elements[i];
        if (element.form != Form::point) continue;
        int loads = 0, returns = 0;
        bool heavy = false;
        for (const int each : at[i]) {
            const Line& line = model.lines[static_cast<std::size_t>(each)];
            if (!line.is_return || line.head().element != static_cast<int>(i)) continue;
            const Element& origin = origin_of(model, at, each);
            ++returns;
            loads += is_plain_load(origin);
            heavy = heavy || origin.symbol == Symbol::controller || origin.symbol == Symbol::converter ||
                    origin.symbol == Symbol::inverter;
        }
        element.collects = loads >= 4 && (!heavy || loads * 5 >= returns * 3);
        if (element.collects) element.form = Form::bar;
    }
}

// The returns that lead to a collecting bar, walked backward from it.
void mark_collected(SheetModel& model, const std::vector<std::vector<int>>& at) {
    std::vector<int> queue;
    for (std::size_t i = 0; i < model.elements.size(); ++i)
        if (model.elements[i].collects) queue.push_back(static_cast<int>(i));
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const int each : at[static_cast<std::size_t>(queue[head])]) {
            Line& line = model.lines[static_cast<std::size_t>(each)];
            if (!line.is_return || line.collected || line.head().element != queue[head]) continue;
            const Element& tail = model.elements[static_cast<std::size_t>(line.tail().element)];
            if (tail.collects || tail.main_source) continue;
            line.collected = true;
            if (passes_on(tail)) queue.push_back(line.tail().element);
        }
}

}  // namespace

void orient(const Results&, SheetModel& model) {
    const PinGraph graph(model);
    const std::vector<int> plus = distances(model, graph, Pole::plus),
                           minus = distances(model, graph, Pole::minus);
    const std::vector<int> depth = depth_of_elements(model);
    const auto of = [&](const std::vector<int>& distance, const End& end) {
        return distance[static_cast<std::size_t>(graph.pin(end))];
    };
    std::vector<bool> fed(model.lines.size());
    std::vector<int> nearer_from(model.lines.size());  // below 0: `from` lies nearer to the source
    for (std::size_t i = 0; i < model.lines.size(); ++i) {
        Line& line = model.lines[i];
        line.is_return = of(minus, line.from) < of(plus, line.from);
        const std::vector<int>& near = line.is_return ? minus : plus;
        fed[i] = of(near, line.from) != far_away;
        nearer_from[i] = fed[i] ? of(near, line.from) - of(near, line.to)
                                : depth[static_cast<std::size_t>(line.from.element)] -
                                      depth[static_cast<std::size_t>(line.to.element)];
        if (!line.current_known)
            line.tail_is_from = line.is_return ? nearer_from[i] > 0 : nearer_from[i] <= 0;
    }
    const std::vector<std::vector<int>> at = lines_at(model);
    find_collectors(model, at);
    mark_collected(model, at);
    const std::vector<bool> bridge = bridges(graph);
    for (std::size_t i = 0; i < model.lines.size(); ++i) {
        Line& line = model.lines[i];
        // Where there is only one way to the source, the source stays at the left, charging or not; in a
        // loop, such as a precharge path, the current decides.
        const bool only_way = fed[i] && bridge[i];
        const bool toward_source = !line.collected && (line.is_return || only_way);
        if (toward_source && nearer_from[i] != 0)
            line.left_is_from = nearer_from[i] < 0;
        else
            line.left_is_from = toward_source ? !line.tail_is_from : line.tail_is_from;
    }
}

}  // namespace loomward::sheet
