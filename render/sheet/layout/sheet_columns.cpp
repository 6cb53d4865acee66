// The column of every element. Elements that must stand in one column (the contacts of a connector, a bar and
// its fuses) are asked for as one thing.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "render/sheet/layout/sheet_graph.hpp"
#include "render/sheet/layout/sheet_place.hpp"

namespace loomward::sheet {
namespace {

constexpr std::size_t library_limit = 5000;  // lines

bool is_plain_load(const Element& element) {
    return element.symbol == Symbol::load || element.symbol == Symbol::lamp ||
           element.symbol == Symbol::motor_two;
}

// The pennant of a line that is drawn in full elsewhere stands in the label column beside what it leads to.
bool is_stub_pennant(const Element& element) {
    return element.form == Form::pennant && element.of_stub;
}

// A contact of a connector, or a pole of a switch.
bool moves_with_others(const Element& element) {
    return element.form == Form::contact || element.pole;
}

struct Grouping {
    std::vector<int> of;  // by element, -1 outside the strip
    std::vector<int> first_element;
};

// Contacts of one connector share a column where they lie near each other anyway: those that carry collected
// returns stand right of the loads, and those of a signal that comes back need not stand with the supply's.
// `loose`: the columns of the contacts if nothing holds them together, by element; empty: each one alone.
Grouping group_elements(const SheetModel& model, const Strip& strip, const std::vector<int>& loose) {
    std::map<std::uint32_t, std::set<int>> spread;  // columns that contacts of a connector stand in
    if (!loose.empty())
        for (const int index : strip.elements)
            if (const Element& element = model.elements[static_cast<std::size_t>(index)];
                moves_with_others(element))
                spread[element.part.value].insert(loose[static_cast<std::size_t>(index)]);
    const auto nearby = [&](std::uint32_t part, int column) {  // the first of a run without gaps
        const std::set<int>& columns = spread[part];
        auto at = columns.find(column);
        while (at != columns.begin() && *std::prev(at) + 1 == *at) --at;
        return *at;
    };
    Grouping groups;
    groups.of.assign(model.elements.size(), -1);
    std::map<std::pair<std::uint32_t, int>, int> connectors;
    for (const int index : strip.elements) {
        const auto i = static_cast<std::size_t>(index);
        const Element& element = model.elements[i];
        if (carrier_of(element) >= 0 || is_stub_pennant(element)) continue;
        const int fresh = static_cast<int>(groups.first_element.size());
        if (moves_with_others(element) && !loose.empty()) {
            const auto key = std::pair(element.part.value, nearby(element.part.value, loose[i]));
            groups.of[i] = connectors.try_emplace(key, fresh).first->second;
        } else {
            groups.of[i] = fresh;
        }
        if (groups.of[i] == fresh) groups.first_element.push_back(index);
    }
    for (const int index : strip.elements)
        if (const int bar = carrier_of(model.elements[static_cast<std::size_t>(index)]); bar >= 0)
            groups.of[static_cast<std::size_t>(index)] = groups.of[static_cast<std::size_t>(bar)];
    return groups;
}

int weight_of(const SheetModel& model, const Line& line) {
    const Element& left = model.elements[static_cast<std::size_t>(line.left().element)];
    const Element& right = model.elements[static_cast<std::size_t>(line.right().element)];
    int weight = static_cast<int>(2 + 3 * std::sqrt(line.area_mm2));
    if (!line.is_return) weight *= 2;
    if (line.unguarded) weight *= 4;  // so that it is drawn short
    const bool contact = left.form == Form::contact || right.form == Form::contact;
    if (contact && (is_plain_load(left) || is_plain_load(right))) weight *= 4;
    if (left.on_bar >= 0 && right.symbol == Symbol::switch_) weight *= 3;
    return weight;
}

void ask_for_edges(const SheetModel& model, const Strip& strip, const Grouping& groups,
                   ColumnQuestion& question) {
    std::map<int, std::vector<int>> loads_of;  // collector -> groups of its loads
    std::vector<bool> bound(groups.first_element.size());
    for (const int index : strip.elements) {
        const Element& element = model.elements[static_cast<std::size_t>(index)];
        const int group = groups.of[static_cast<std::size_t>(index)];
        if (element.collects)
            question.rightmost.push_back(group), bound[static_cast<std::size_t>(group)] = true;
    }
    // Sources at the left, except one that another source stands before (packs in series).
    std::vector<bool> behind(model.elements.size());
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        const auto a = static_cast<std::size_t>(line.left().element),
                   b = static_cast<std::size_t>(line.right().element);
        if (model.elements[a].main_source && model.elements[b].main_source) behind[b] = true;
    }
    for (const int index : strip.elements) {
        const auto i = static_cast<std::size_t>(index);
        if (model.elements[i].main_source && !behind[i] && !bound[static_cast<std::size_t>(groups.of[i])])
            question.leftmost.push_back(groups.of[i]), bound[static_cast<std::size_t>(groups.of[i])] = true;
    }
    // Loads of one collector share a column.
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        if (!line.collected) continue;
        const Element& tail = model.elements[static_cast<std::size_t>(line.tail().element)];
        const int group = groups.of[static_cast<std::size_t>(line.tail().element)];
        if (!is_plain_load(tail) || bound[static_cast<std::size_t>(group)]) continue;
        bound[static_cast<std::size_t>(group)] = true;
        loads_of[0].push_back(group);
    }
    for (auto& [collector, loads] : loads_of)
        if (loads.size() > 1) question.same.push_back(loads);
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        const int a = groups.of[static_cast<std::size_t>(line.left().element)],
                  b = groups.of[static_cast<std::size_t>(line.right().element)];
        if (a != b && a >= 0 && b >= 0) question.edges.push_back({a, b, weight_of(model, line)});
    }
}

// Where the library fails: breadth first from the first element.
std::vector<int> plain_columns(const ColumnQuestion& question) {
    std::vector<std::vector<int>> next(static_cast<std::size_t>(question.count));
    for (const ColumnQuestion::Edge& edge : question.edges) {
        next[static_cast<std::size_t>(edge.left)].push_back(edge.right);
        next[static_cast<std::size_t>(edge.right)].push_back(edge.left);
    }
    std::vector<int> columns(next.size(), -1), queue = question.leftmost;
    if (queue.empty() && question.count > 0) queue.push_back(0);
    for (const int seed : queue) columns[static_cast<std::size_t>(seed)] = 0;
    for (std::size_t head = 0; head < queue.size(); ++head)
        for (const int to : next[static_cast<std::size_t>(queue[head])])
            if (columns[static_cast<std::size_t>(to)] < 0) {
                // Folded after a while, so that a long chain does not become a long sheet.
                columns[static_cast<std::size_t>(to)] =
                    (columns[static_cast<std::size_t>(queue[head])] + 1) % 40;
                queue.push_back(to);
            }
    for (int& column : columns) column = std::max(column, 0);
    return columns;
}

std::vector<int> columns_by_element(const SheetModel& model, const Strip& strip, const Grouping& groups) {
    ColumnQuestion question;
    question.count = static_cast<int>(groups.first_element.size());
    ask_for_edges(model, strip, groups, question);
    std::optional<std::vector<int>> columns;
    if (strip.lines.size() <= library_limit) columns = ask_columns(question);
    if (!columns) columns = plain_columns(question);
    std::vector<int> of_element(model.elements.size(), -1);
    for (const int index : strip.elements)
        if (const int group = groups.of[static_cast<std::size_t>(index)]; group >= 0)
            of_element[static_cast<std::size_t>(index)] = (*columns)[static_cast<std::size_t>(group)];
    return of_element;
}

// Both ends in one column: out to the side both pins look to, and back.
void set_direction(const SheetModel& model, const Columns& columns, Run& run) {
    const Line& line = model.lines[static_cast<std::size_t>(run.line)];
    const int a = columns.of_element[static_cast<std::size_t>(line.left().element)],
              b = columns.of_element[static_cast<std::size_t>(line.right().element)];
    run.left_is_from = a > b ? !line.left_is_from : line.left_is_from;
    run.turns = a == b;
    if (!run.turns) return;
    const auto looks_left = [&](const End& end) {
        const Element& element = model.elements[static_cast<std::size_t>(end.element)];
        return element.form != Form::point && element.form != Form::bar && element.form != Form::box &&
               element.pins[static_cast<std::size_t>(end.pin)].home == Side::left;
    };
    run.turn_side = looks_left(line.from) && looks_left(line.to) ? Side::left : Side::right;
}

}  // namespace

Columns choose_columns(const SheetModel& model, const Strip& strip) {
    Columns chosen;
    std::vector<int> loose;
    const bool contacts = std::any_of(strip.elements.begin(), strip.elements.end(), [&](int index) {
        return moves_with_others(model.elements[static_cast<std::size_t>(index)]);
    });
    if (contacts) loose = columns_by_element(model, strip, group_elements(model, strip, {}));
    const Grouping groups = group_elements(model, strip, loose);
    chosen.group_of = groups.of;
    chosen.of_element = columns_by_element(model, strip, groups);
    for (int& column : chosen.of_element)
        if (column > 0) column *= 2;
    for (const int index : strip.lines) {
        const Line& line = model.lines[static_cast<std::size_t>(index)];
        const auto left = static_cast<std::size_t>(line.left().element),
                   right = static_cast<std::size_t>(line.right().element);
        if (is_stub_pennant(model.elements[left]))
            chosen.of_element[left] = chosen.of_element[right] - 1;
        else if (is_stub_pennant(model.elements[right]))
            chosen.of_element[right] = chosen.of_element[left] + 1;
    }
    for (const int index : strip.lines) {
        Run run;
        run.line = index;
        set_direction(model, chosen, run);
        chosen.runs.push_back(std::move(run));
    }
    return chosen;
}

}  // namespace loomward::sheet
