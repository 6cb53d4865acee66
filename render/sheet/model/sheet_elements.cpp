// Parts as drawn things: which symbol, which pins on which side, what is written.
#include <algorithm>
#include <cctype>
#include <map>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

using namespace loomward::literals;

struct Builder {
    const Harness& harness;
    SheetModel& model;
    std::vector<End>& place_of;
    std::vector<std::uint32_t> port_head;  // by part: the first of the ports it is tied to, itself included
    std::map<std::uint32_t, int> port_element;

    const Terminal& terminal(const Part& part, std::uint32_t index) const {
        return harness.terminals[part.terminals.first + index];
    }
    int add(Element element) {
        model.elements.push_back(std::move(element));
        return static_cast<int>(model.elements.size()) - 1;
    }
    void put(const Part& part, std::uint32_t index, int element, int pin) {
        place_of[part.terminals.first + index] = {element, pin};
    }
};

Element blank(const Builder& builder, PartId id) {
    const Part& part = builder.harness.part(id);
    Element element;
    element.part = id;
    element.symbol = symbol_of(part);
    element.name = part.name;
    element.rating = rating_of(builder.harness, part);
    element.label = part.label;
    element.title = std::string(part.name) + ": " + std::string(info(part.kind).word);
    if (!element.rating.empty()) element.title += ", " + element.rating;
    if (!part.label.empty()) element.title += ", " + std::string(part.label);
    if (part.location)
        element.bay = builder.harness.locations[part.location.index()].name;
    else if (const std::size_t dot = part.name.rfind('.'); dot != std::string_view::npos)
        element.bay = part.name.substr(0, dot);
    return element;
}

bool is_first_pole(std::string_view role) {
    static constexpr std::string_view roles[] = {"in", "+", "A", "B-", "B+", "com", "A1", "in+", "in-"};
    const std::size_t dot = role.rfind('.');
    if (dot != std::string_view::npos) role.remove_prefix(dot + 1);
    return std::find(std::begin(roles), std::end(roles), role) != std::end(roles);
}

Pole pole_of(Kind kind, std::string_view role) {
    if (kind == Kind::pack) return role == "-" ? Pole::minus : Pole::plus;
    if (kind == Kind::charger || kind == Kind::controller)
        return role == "+" ? Pole::plus : role == "-" ? Pole::minus : Pole::none;
    if (kind == Kind::converter)
        return role == "out+" ? Pole::plus : role == "out-" ? Pole::minus : Pole::none;
    return Pole::none;
}

// Pairs of pins current may pass between, by the roles the tables give them.
void add_conduction(Kind kind, const std::vector<std::string>& roles, Element& element) {
    const auto pair = [&](std::string_view a, std::string_view b) {
        const auto i = std::find(roles.begin(), roles.end(), a), j = std::find(roles.begin(), roles.end(), b);
        if (i != roles.end() && j != roles.end())
            element.conducts.emplace_back(static_cast<int>(i - roles.begin()),
                                          static_cast<int>(j - roles.begin()));
    };
    if (kind == Kind::selector) {
        for (std::size_t i = 1; i < roles.size(); ++i) element.conducts.emplace_back(0, static_cast<int>(i));
        return;
    }
    for (const std::string& role : roles) {
        const std::size_t dot = role.rfind('.');
        const std::string pole = dot == std::string::npos ? "" : role.substr(0, dot + 1);
        const std::string last = role.substr(pole.size());
        if (last == "in") pair(role, pole + "out");
        if (last == "com") pair(role, pole + "no"), pair(role, pole + "nc");
    }
    pair("B-", "P-"), pair("B-", "C-"), pair("B+", "P+"), pair("B+", "C+"), pair("A", "K");
}

// A part drawn as one thing with all its terminals as pins.
void add_whole(Builder& builder, PartId id, Form form) {
    const Part& part = builder.harness.part(id);
    Element element = blank(builder, id);
    element.form = form;
    element.main_source = part.kind == Kind::pack;
    element.backup_source = part.kind == Kind::charger || part.kind == Kind::controller;
    const int index = static_cast<int>(builder.model.elements.size());
    std::vector<std::string> roles;
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
        const Terminal& terminal = builder.terminal(part, i);
        const std::string_view role = terminal.role.empty() ? terminal.name : terminal.role;
        roles.emplace_back(role);
        const bool coil = form == Form::symbol && (role == "A1" || role == "A2");
        const Side home = part.kind == Kind::pack ? Side::right
                          : is_first_pole(role)   ? Side::left
                                                  : Side::right;
        element.pins.push_back({std::string(terminal.name), home, coil, pole_of(part.kind, role)});
        builder.put(part, i, index, static_cast<int>(i));
    }
    add_conduction(part.kind, roles, element);
    builder.add(std::move(element));
}

// All terminals are one point.
void add_one_point(Builder& builder, PartId id, Form form) {
    const Part& part = builder.harness.part(id);
    Element element = blank(builder, id);
    element.form = form;
    if (element.symbol == Symbol::none) element.symbol = Symbol::dot;
    element.pins.push_back({});
    const int index = builder.add(std::move(element));
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) builder.put(part, i, index, 0);
}

// Ports tied to each other (the end of one copy, the beginning of the next) are drawn as one point.
void add_port(Builder& builder, PartId id) {
    const auto [entry, fresh] = builder.port_element.try_emplace(builder.port_head[id.index()], -1);
    if (fresh) {
        entry->second = static_cast<int>(builder.model.elements.size());
        return add_one_point(builder, id, Form::point);
    }
    Element& element = builder.model.elements[static_cast<std::size_t>(entry->second)];
    element.also.push_back(id);
    element.title += ", " + std::string(builder.harness.part(id).name);
    const Part& part = builder.harness.part(id);
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) builder.put(part, i, entry->second, 0);
}

std::vector<std::uint32_t> tied_ports(const Harness& harness) {
    std::vector<std::uint32_t> head(harness.parts.size());
    for (std::uint32_t i = 0; i < head.size(); ++i) head[i] = i;
    const auto find = [&](std::uint32_t i) {
        while (head[i] != i) i = head[i] = head[head[i]];
        return i;
    };
    for (const Tie& tie : harness.ties) {
        const PartId a = harness.terminal(tie.a).part, b = harness.terminal(tie.b).part;
        if (harness.part(a).kind != Kind::port || harness.part(b).kind != Kind::port) continue;
        const std::uint32_t x = find(a.value), y = find(b.value);
        head[std::max(x, y)] = std::min(x, y);
    }
    for (std::uint32_t i = 0; i < head.size(); ++i) head[i] = find(i);
    return head;
}

// Input and output as two things; `deal_strips` joins them again where nothing is gained by the cut.
void add_converter(Builder& builder, PartId id) {
    const Part& part = builder.harness.part(id);
    Element input = blank(builder, id), output = blank(builder, id);
    input.input_half = true;
    output.main_source = true;
    const int at = static_cast<int>(builder.model.elements.size());
    input.other_half = at + 1;
    output.other_half = at;
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
        const Terminal& terminal = builder.terminal(part, i);
        const std::string_view role = terminal.role.empty() ? terminal.name : terminal.role;
        const bool is_output = role.starts_with("out");
        Element& half = is_output ? output : input;
        builder.put(part, i, is_output ? at + 1 : at, static_cast<int>(half.pins.size()));
        half.pins.push_back({std::string(terminal.name), is_output ? Side::right : Side::left, false,
                             pole_of(part.kind, role)});
    }
    builder.add(std::move(input));
    builder.add(std::move(output));
}

// One row a contact: the first half's terminals come first, then the mate's in the same order.
void add_connector(Builder& builder, PartId id, const std::vector<bool>& landed) {
    const Part& part = builder.harness.part(id);
    const std::uint32_t contacts = part.terminals.count / 2;
    bool any = false;
    for (std::uint32_t i = 0; i < contacts; ++i) {
        const std::uint32_t here = part.terminals.first + i, there = here + contacts;
        if (!landed[here] && !landed[there]) continue;
        any = true;
        Element element = blank(builder, id);
        element.form = Form::contact;
        element.symbol = Symbol::contact;
        element.heading = element.rating;
        element.name = builder.harness.terminals[here].path;
        element.pins = {{std::string(builder.harness.terminals[here].name), Side::left},
                        {std::string(builder.harness.terminals[there].name), Side::right}};
        element.conducts = {{0, 1}};
        const int index = builder.add(std::move(element));
        builder.put(part, i, index, 0);
        builder.put(part, i + contacts, index, 1);
    }
    if (!any) add_whole(builder, id, Form::box);
}

// One point a way, bridged ways together.
void add_terminal_block(Builder& builder, PartId id, const std::vector<bool>& landed) {
    const Part& part = builder.harness.part(id);
    std::vector<std::uint32_t> head(part.terminals.count);
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) head[i] = i;
    for (const Attribute& attribute : builder.harness.attributes_of(part.attributes)) {
        if (attribute.name != "bridge"_attr) continue;
        std::uint32_t first = part.terminals.count;
        for (const Value& value : builder.harness.values_of(attribute))
            for (std::uint32_t i = 0; i < part.terminals.count; ++i)
                if (builder.terminal(part, i).role == value.text) {
                    if (first == part.terminals.count) first = head[i];
                    const std::uint32_t old = head[i];
                    std::replace(head.begin(), head.end(), old, first);
                }
    }
    std::map<std::uint32_t, int> element_of;
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
        if (!landed[part.terminals.first + i]) continue;
        const auto [entry, fresh] = element_of.try_emplace(head[i], -1);
        if (fresh) {
            Element element = blank(builder, id);
            element.form = Form::point;
            element.symbol = Symbol::dot;
            element.name = builder.terminal(part, i).path;
            element.pins.push_back({});
            entry->second = builder.add(std::move(element));
        }
        builder.put(part, i, entry->second, 0);
    }
    if (element_of.empty()) add_whole(builder, id, Form::box);
}

std::vector<bool> landed_terminals(const Harness& harness) {
    std::vector<bool> landed(harness.terminals.size());
    for (const Wire& wire : harness.wires) landed[wire.from.index()] = landed[wire.to.index()] = true;
    for (const Joint& joint : harness.joints) landed[joint.a.index()] = landed[joint.b.index()] = true;
    for (const Tie& tie : harness.ties) landed[tie.a.index()] = landed[tie.b.index()] = true;
    return landed;
}

bool has_role(const Harness& harness, const Part& part, std::string_view role) {
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
        const Terminal& terminal = harness.terminals[part.terminals.first + i];
        if (terminal.role == role || (terminal.role.empty() && terminal.name == role)) return true;
    }
    return false;
}

void add_part(Builder& builder, PartId id, const std::vector<bool>& landed) {
    const Part& part = builder.harness.part(id);
    switch (part.kind) {
        case Kind::connector:
            return add_connector(builder, id, landed);
        case Kind::terminal_block:
            return add_terminal_block(builder, id, landed);
        case Kind::converter:
            return add_converter(builder, id);
        case Kind::assembly:
            return;  // its parts are drawn; it is none itself
        case Kind::port:
            return add_port(builder, id);
        case Kind::splice:
        case Kind::stud:
        case Kind::frame:
        case Kind::busbar:
            return add_one_point(builder, id, Form::point);
        case Kind::fuse_block:
            return part.terminals.count > 0 ? add_one_point(builder, id, Form::bar)
                                            : add_whole(builder, id, Form::box);
        case Kind::contactor:
        case Kind::relay:
        case Kind::switch_:
            return add_whole(builder, id, has_role(builder.harness, part, "in") ? Form::symbol : Form::box);
        case Kind::fuse:
        case Kind::breaker:
        case Kind::resistor:
        case Kind::capacitor:
        case Kind::diode:
        case Kind::shunt:
        case Kind::load:
            return add_whole(builder, id, Form::symbol);
        case Kind::motor:
            return add_whole(builder, id, part.terminals.count == 2 ? Form::symbol : Form::box);
        default:
            return add_whole(builder, id, Form::box);
    }
}

// A terminal that no case above knows of becomes a pin of its part's first element.
void give_places(Builder& builder, const std::vector<bool>& landed) {
    std::vector<int> first(builder.harness.parts.size(), -1);
    for (std::size_t i = builder.model.elements.size(); i-- > 0;)
        first[builder.model.elements[i].part.index()] = static_cast<int>(i);
    for (std::size_t i = 0; i < builder.harness.terminals.size(); ++i) {
        if (builder.place_of[i].element >= 0 || !landed[i]) continue;
        const int index = first[builder.harness.terminals[i].part.index()];
        if (index < 0) continue;
        Element& element = builder.model.elements[static_cast<std::size_t>(index)];
        builder.place_of[i] = {index, static_cast<int>(element.pins.size())};
        element.pins.push_back({std::string(builder.harness.terminals[i].name), Side::right});
        if (element.form == Form::symbol || element.form == Form::contact) element.form = Form::box;
    }
}

}  // namespace

void add_elements(const Harness& harness, SheetModel& model, std::vector<End>& place_of) {
    place_of.assign(harness.terminals.size(), {});
    Builder builder{harness, model, place_of, tied_ports(harness), {}};
    const std::vector<bool> landed = landed_terminals(harness);
    for (std::size_t i = 0; i < harness.parts.size(); ++i) add_part(builder, PartId(i), landed);
    seat_on_bars(harness, place_of, model);
    give_places(builder, landed);
}

}  // namespace loomward::sheet
