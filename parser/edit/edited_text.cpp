#include "parser/edit/edited_text.hpp"

#include <algorithm>
#include <array>

#include "parser/text/diagnostic.hpp"

namespace loomward {
namespace {

// Statements that fit no part.
constexpr std::array<std::string_view, 9> no_part = {"loom",  "use",  "harness", "policy", "part",
                                                     "route", "mode", "accept",  "bundle"};

// Comments in `text`, "# to the end of the line" each; none begins inside quotes.
std::vector<std::string> comments_in(std::string_view text) {
    std::vector<std::string> found;
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '"') quoted = !quoted;
        if (text[i] == '\n') quoted = false;
        if (text[i] != '#' || quoted) continue;
        const std::size_t end = std::min(text.find('\n', i), text.size());
        found.emplace_back(text.substr(i, end - i));
        i = end;
    }
    return found;
}

}  // namespace

EditedText::EditedText(std::string text) : text_(std::move(text)) {
    read();
}

void EditedText::read() {
    sources_ = Sources{};
    std::vector<Diagnostic> mistakes;
    tree_ = read_syntax(sources_, sources_.add("", text_), mistakes);
}

// Comments between what is replaced go on lines of their own before the statement.
void EditedText::replace(Place place, std::string_view with) {
    std::string kept;
    std::uint32_t line = place.begin;
    for (const std::uint32_t statement : tree_.statements)
        if (tree_.nodes[statement].begin <= place.begin && place.begin < tree_.nodes[statement].end)
            line = tree_.nodes[statement].begin;
    const bool starts_line = line == 0 || text_[line - 1] == '\n';
    for (const std::string& comment : comments_in(at(place)))
        if (starts_line && !with.empty() && with.find(comment) == std::string_view::npos)
            kept += comment + "\n";
    text_.replace(place.begin, place.end - place.begin, with);
    text_.insert(line, kept);
    read();
}

std::string_view EditedText::at(Place place) const {
    return std::string_view(text_).substr(place.begin, place.end - place.begin);
}

std::vector<std::uint32_t> EditedText::children(std::uint32_t node) const {
    std::vector<std::uint32_t> found;
    for (std::uint32_t i = node + 1; i < tree_.nodes[node].next; i = tree_.nodes[i].next) found.push_back(i);
    return found;
}

EditedText::Place EditedText::extent(std::uint32_t element) const {
    const std::vector<std::uint32_t> values = children(element);
    if (values.empty()) return {tree_.nodes[element].begin, tree_.nodes[element].end};
    return {tree_.nodes[values.front()].begin, tree_.nodes[values.back()].end};
}

std::optional<std::uint32_t> EditedText::statement_of(std::string_view name, bool mode) const {
    for (const std::uint32_t statement : tree_.statements) {
        const std::vector<std::uint32_t> values = children(statement);
        if (values.size() < 2) continue;
        const auto word = [&](std::size_t i) {
            return at({tree_.nodes[values[i]].begin, tree_.nodes[values[i]].end});
        };
        if (word(1) != name) continue;
        const bool other = std::find(no_part.begin(), no_part.end(), word(0)) != no_part.end();
        if (mode ? word(0) == "mode" : !other) return statement;
    }
    return std::nullopt;
}

std::string_view EditedText::word_of(std::string_view part) const {
    const auto statement = statement_of(part, false);
    if (!statement) return {};
    const SyntaxNode& word = tree_.nodes[children(*statement).front()];
    return at({word.begin, word.end});
}

std::optional<std::uint32_t> EditedText::block_of(std::uint32_t statement) const {
    for (const std::uint32_t child : children(statement))
        if (tree_.nodes[child].kind == NodeKind::block) return child;
    return std::nullopt;
}

std::optional<std::uint32_t> EditedText::element_named(std::uint32_t block, std::string_view name) const {
    for (const std::uint32_t element : children(block)) {
        const std::vector<std::uint32_t> values = children(element);
        if (!values.empty() && tree_.nodes[values.front()].kind == NodeKind::word &&
            at({tree_.nodes[values.front()].begin, tree_.nodes[values.front()].end}) == name)
            return element;
    }
    return std::nullopt;
}

// A number with its unit among the values of an element (or of the elements of a block or wire): of a block
// only where it begins one.
std::optional<EditedText::Place> EditedText::value_of(std::uint32_t parent, Dimension dimension) const {
    const bool block = tree_.nodes[parent].kind == NodeKind::block;
    for (const std::uint32_t element : children(parent)) {
        const std::vector<std::uint32_t> values = children(element);
        for (std::size_t i = 0; i + 1 < values.size(); ++i) {
            const SyntaxNode& first = tree_.nodes[values[i]];
            std::string text(at({first.begin, first.end}));
            std::size_t last = i + 1;
            if (text == "about" && i + 2 < values.size()) {
                text = std::string(at({tree_.nodes[values[i + 1]].begin, tree_.nodes[values[i + 1]].end}));
                last = i + 2;
            }
            const Place unit{tree_.nodes[values[last]].begin, tree_.nodes[values[last]].end};
            if (text == "unknown") text = "1";
            const auto quantity = quantity_from_text(text + " " + std::string(at(unit)));
            if (quantity && quantity->dimension == dimension) return Place{first.begin, unit.end};
            if (block) break;
        }
    }
    return std::nullopt;
}

std::optional<std::string> EditedText::attribute(std::string_view part, std::string_view name) const {
    const auto statement = statement_of(part, false);
    const auto block = statement ? block_of(*statement) : std::nullopt;
    const auto element = block ? element_named(*block, name) : std::nullopt;
    if (!element) return std::nullopt;
    return std::string(at(extent(*element)));
}

std::optional<std::string> EditedText::nameless(std::string_view part, Dimension dimension) const {
    const auto statement = statement_of(part, false);
    const auto block = statement ? block_of(*statement) : std::nullopt;
    const auto place = block ? value_of(*block, dimension) : std::nullopt;
    if (!place) return std::nullopt;
    return std::string(at(*place));
}

void EditedText::append(std::uint32_t statement, std::string_view attribute) {
    const auto block = block_of(statement);
    if (!block) {
        const std::uint32_t end = extent(statement).end;
        return replace({end, end}, " { " + std::string(attribute) + " }");
    }
    const std::vector<std::uint32_t> elements = children(*block);
    if (elements.empty()) {
        const std::uint32_t inside = tree_.nodes[*block].begin + 1;
        return replace({inside, inside}, " " + std::string(attribute));
    }
    const std::uint32_t end = extent(elements.back()).end;
    replace({end, end}, ", " + std::string(attribute));
}

bool EditedText::set_attribute(std::string_view part, std::string_view name, std::string_view attribute) {
    const auto statement = statement_of(part, false);
    if (!statement) return false;
    const auto block = block_of(*statement);
    if (const auto element = block ? element_named(*block, name) : std::nullopt)
        replace(extent(*element), attribute);
    else
        append(*statement, attribute);
    return true;
}

bool EditedText::set_nameless(std::string_view part, Dimension dimension, std::string_view value) {
    const auto statement = statement_of(part, false);
    if (!statement) return false;
    const auto block = block_of(*statement);
    if (const auto place = block ? value_of(*block, dimension) : std::nullopt)
        replace(*place, value);
    else
        append(*statement, value);
    return true;
}

bool EditedText::set_type(std::string_view part, std::string_view type) {
    const auto statement = statement_of(part, false);
    if (!statement) return false;
    const std::vector<std::uint32_t> values = children(*statement);
    for (std::size_t i = 2; i + 1 < values.size(); ++i) {
        const SyntaxNode& word = tree_.nodes[values[i]];
        if (word.kind != NodeKind::word || at({word.begin, word.end}) != "is") continue;
        replace({tree_.nodes[values[i + 1]].begin, tree_.nodes[values[i + 1]].end}, type);
        return true;
    }
    return false;
}

// The name that a wire node begins with; "direct" of one that is none.
std::string_view EditedText::wire_name(std::uint32_t node) const {
    const std::vector<std::uint32_t> elements = children(node);
    const std::vector<std::uint32_t> values =
        elements.empty() ? std::vector<std::uint32_t>{} : children(elements.front());
    if (values.empty()) return {};
    return at({tree_.nodes[values.front()].begin, tree_.nodes[values.front()].end});
}

std::optional<EditedText::OnRoute> EditedText::wire_on(std::string_view wire) const {
    for (const std::uint32_t statement : tree_.statements) {
        std::vector<std::uint32_t> values = children(statement);
        if (values.empty() || at({tree_.nodes[values[0]].begin, tree_.nodes[values[0]].end}) != "route")
            continue;
        values.erase(values.begin());
        for (std::size_t i = 0; i < values.size(); ++i)
            if (tree_.nodes[values[i]].kind == NodeKind::wire && wire_name(values[i]) == wire)
                return OnRoute{statement, values, i};
    }
    return std::nullopt;
}

bool EditedText::set_wire(std::string_view wire, Dimension dimension, std::string_view value) {
    // A core is as thick as its cable; a wire of an assembly has no place of its own.
    if (const std::size_t dot = wire.find('.'); dot != std::string_view::npos) {
        const std::string_view cable = wire.substr(0, dot);
        return word_of(cable) == "cable" && set_nameless(cable, dimension, value);
    }
    const auto on = wire_on(wire);
    if (!on) return false;
    const std::uint32_t node = on->stops[on->at];
    if (const auto place = value_of(node, dimension)) {
        replace(*place, value);
        return true;
    }
    const std::vector<std::uint32_t> elements = children(node);
    const std::vector<std::uint32_t> values = children(elements.front());
    const std::uint32_t end = extent(elements.front()).end;
    replace({end, end}, (values.size() > 1 ? ", " : " ") + std::string(value));
    return true;
}

// A stop at the end of a route of its own has to say which terminal: the one that the wire beside it has.
std::string EditedText::stop_text(const OnRoute& on, std::size_t stop, bool leaves,
                                  const EndsOfWire& ends) const {
    const std::size_t beside = leaves ? stop + 1 : stop - 1;
    if (const auto known = beside < on.stops.size() ? ends(wire_name(on.stops[beside])) : std::nullopt)
        return leaves ? known->from : known->to;
    return std::string(at({tree_.nodes[on.stops[stop]].begin, tree_.nodes[on.stops[stop]].end}));
}

bool EditedText::take_out(std::string_view wire, const EndsOfWire& ends) {
    const auto on = wire_on(wire);
    if (!on || on->at == 0 || on->at + 1 >= on->stops.size()) return false;
    const auto begin = [&](std::size_t stop) { return tree_.nodes[on->stops[stop]].begin; };
    const auto end = [&](std::size_t stop) { return tree_.nodes[on->stops[stop]].end; };
    std::string routes;
    if (on->at >= 2)
        routes = "route " + std::string(at({begin(0), begin(on->at - 1)})) +
                 stop_text(*on, on->at - 1, false, ends);
    if (on->at + 2 < on->stops.size())
        routes += (routes.empty() ? "route " : "\nroute ") + stop_text(*on, on->at + 1, true, ends) +
                  std::string(at({end(on->at + 1), end(on->stops.size() - 1)}));
    Place place = extent(on->route);
    // Nothing left: the line goes, with the comment that spoke of it.
    if (routes.empty()) {
        const std::size_t line_end = text_.find('\n', place.end);
        place.end = static_cast<std::uint32_t>(line_end == std::string::npos ? text_.size() : line_end + 1);
    }
    replace(place, routes);
    return true;
}

bool EditedText::put_in(std::string_view wire, bool at_its_beginning, std::string_view part) {
    const auto on = wire_on(wire);
    if (!on) return false;
    const SyntaxNode& node = tree_.nodes[on->stops[on->at]];
    if (at_its_beginning)
        replace({node.begin, node.begin}, "(direct) " + std::string(part) + " ");
    else
        replace({node.end, node.end}, " " + std::string(part) + " (direct)");
    return true;
}

bool EditedText::land(std::string_view wire, bool its_beginning, std::string_view terminal,
                      const EndsOfWire& ends) {
    const auto on = wire_on(wire);
    if (!on || on->at == 0 || on->at + 1 >= on->stops.size()) return false;
    const std::size_t stop = its_beginning ? on->at - 1 : on->at + 1;
    const Place place{tree_.nodes[on->stops[stop]].begin, tree_.nodes[on->stops[stop]].end};
    const bool outermost = its_beginning ? stop == 0 : stop + 1 == on->stops.size();
    std::string with(terminal);
    if (!outermost && its_beginning) with = stop_text(*on, stop, false, ends) + "\nroute " + with;
    if (!outermost && !its_beginning) with += "\nroute " + stop_text(*on, stop, true, ends);
    replace(place, with);
    return true;
}

bool EditedText::exchange(std::string_view one, std::string_view other) {
    std::vector<std::pair<Place, std::string_view>> places;
    for (const std::uint32_t statement : tree_.statements) {
        const std::vector<std::uint32_t> values = children(statement);
        if (values.empty() || at({tree_.nodes[values[0]].begin, tree_.nodes[values[0]].end}) != "route")
            continue;
        for (const std::uint32_t value : values) {
            const Place place{tree_.nodes[value].begin, tree_.nodes[value].end};
            if (at(place) == one) places.emplace_back(place, other);
            if (at(place) == other) places.emplace_back(place, one);
        }
    }
    if (places.empty()) return false;
    std::string changed = text_;
    for (auto place = places.rbegin(); place != places.rend(); ++place)
        changed.replace(place->first.begin, place->first.end - place->first.begin, place->second);
    text_ = std::move(changed);
    read();
    return true;
}

void EditedText::add_statement(std::string_view statement) {
    std::uint32_t at_byte = static_cast<std::uint32_t>(text_.size());
    for (const std::uint32_t each : tree_.statements) {
        const Place place = extent(each);
        if (at(place).substr(0, 5) != "mode ") continue;
        at_byte = place.begin;
        break;
    }
    const bool open = at_byte > 0 && text_[at_byte - 1] != '\n';
    replace({at_byte, at_byte}, (open ? "\n" : "") + std::string(statement) + "\n");
}

void EditedText::add_at_end(std::string_view statement) {
    const auto end = static_cast<std::uint32_t>(text_.size());
    const bool open = end > 0 && text_.back() != '\n';
    replace({end, end}, (open ? "\n" : "") + std::string(statement) + "\n");
}

bool EditedText::add_to_mode(std::string_view mode, std::string_view line, bool first) {
    const auto statement = statement_of(mode, true);
    if (!statement) return false;
    const auto block = block_of(*statement);
    const std::vector<std::uint32_t> elements = block ? children(*block) : std::vector<std::uint32_t>{};
    // Of a line that says how much, the one that said so before: "U1 draws 38 A".
    const std::size_t blank = line.find(' '), second = line.find(' ', blank + 1);
    const std::string_view begins =
        line.substr(0, second == std::string_view::npos || first ? blank : second);
    for (const std::uint32_t element : elements)
        if ((first || second != std::string_view::npos) &&
            at(extent(element)).starts_with(std::string(begins) + " ")) {
            replace(extent(element), line);
            return true;
        }
    if (!first || elements.empty()) {
        append(*statement, line);
        return true;
    }
    const auto before = element_named(*block, "like");
    if (before) {
        const std::uint32_t end = extent(*before).end;
        replace({end, end}, ", " + std::string(line));
    } else {
        const std::uint32_t begin = extent(elements.front()).begin;
        replace({begin, begin}, std::string(line) + ", ");
    }
    return true;
}

}  // namespace loomward
