// Parts as drawn things: which symbol, which pins on which side, what is written.
#include <algorithm>
#include <cctype>
#include <map>

#include "render/sheet/model/sheet_joints.hpp"
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
    element.shape = shape_of(builder.harness, id);
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

bool is_first_pole(TerminalRole role) {
    switch (role) {
        case TerminalRole::in:
        case TerminalRole::plus:
        case TerminalRole::anode:
        case TerminalRole::battery_minus:
        case TerminalRole::battery_plus:
        case TerminalRole::com:
        case TerminalRole::coil_in:
        case TerminalRole::in_plus:
        case TerminalRole::in_minus:
            return true;
        default:
            return false;
    }
}

Pole pole_of(Kind kind, TerminalRole role) {
    const auto either = [&](TerminalRole plus, TerminalRole minus) {
        return role == plus ? Pole::plus : role == minus ? Pole::minus : Pole::none;
    };
    if (kind == Kind::pack) return role == TerminalRole::minus ? Pole::minus : Pole::plus;
    if (kind == Kind::charger || kind == Kind::inverter || kind == Kind::controller || kind == Kind::panel)
        return either(TerminalRole::plus, TerminalRole::minus);
    if (kind == Kind::converter) return either(TerminalRole::out_plus, TerminalRole::out_minus);
    return Pole::none;
}

// Whether current may pass from a terminal of the first role to one of the second, of the same pole.
bool leads_to(TerminalRole from, TerminalRole to) {
    using Role = TerminalRole;
    switch (from) {
        case Role::in:
            return to == Role::out;
        case Role::com:
            return to == Role::no || to == Role::nc;
        case Role::battery_minus:
            return to == Role::port_minus || to == Role::charge_minus;
        case Role::battery_plus:
            return to == Role::port_plus || to == Role::charge_plus;
        case Role::anode:
            return to == Role::cathode;
        default:
            return false;
    }
}

// Pairs of pins current may pass between.
void add_conduction(const Builder& builder, PartId id, Element& element) {
    const Part& part = builder.harness.part(id);
    for (std::uint32_t i = 0; i < part.terminals.count; ++i)
        for (std::uint32_t j = 0; j < part.terminals.count; ++j) {
            const Terminal &from = builder.terminal(part, i), &to = builder.terminal(part, j);
            if (leads_to(from.role, to.role) && from.number == to.number)
                element.conducts.emplace_back(static_cast<int>(i), static_cast<int>(j));
        }
    const auto pin = [&](TerminalId terminal) {
        return static_cast<int>(terminal.index() - part.terminals.first);
    };
    for (const SelectorPosition& position : builder.harness.positions_of(id)) {
        const auto joined = builder.harness.joined(position.joins);
        for (std::size_t i = 1; i < joined.size(); ++i)
            element.conducts.emplace_back(pin(joined[i - 1]), pin(joined[i]));
    }
}

// Of a selector: the terminal that most of its positions join, which is where it is fed.
TerminalId common_terminal(const Harness& harness, PartId id) {
    std::map<TerminalId, int> positions;
    TerminalId most;
    for (const SelectorPosition& position : harness.positions_of(id))
        for (const TerminalId terminal : harness.joined(position.joins))
            if (++positions[terminal]; !most || positions[terminal] > positions[most]) most = terminal;
    return most;
}

// A part drawn as one thing with all its terminals as pins.
void add_whole(Builder& builder, PartId id, Form form) {
    const Part& part = builder.harness.part(id);
    Element element = blank(builder, id);
    element.form = form;
    element.main_source = part.kind == Kind::pack;
    element.backup_source = part.kind == Kind::charger || part.kind == Kind::inverter ||
                            part.kind == Kind::controller || part.kind == Kind::panel;
    const int index = static_cast<int>(builder.model.elements.size());
    const TerminalId common = common_terminal(builder.harness, id);
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
        const Terminal& terminal = builder.terminal(part, i);
        const TerminalRole role = terminal.role;
        const bool coil =
            form == Form::symbol && (role == TerminalRole::coil_in || role == TerminalRole::coil_out);
        const bool first = is_first_pole(role) || common == TerminalId(part.terminals.first + i);
        const Side home = first && part.kind != Kind::pack ? Side::left : Side::right;
        element.pins.push_back({std::string(terminal.name), home, coil, pole_of(part.kind, role), role});
        builder.put(part, i, index, static_cast<int>(i));
    }
    add_conduction(builder, id, element);
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
        const bool is_output =
            terminal.role == TerminalRole::out_plus || terminal.role == TerminalRole::out_minus;
        Element& half = is_output ? output : input;
        builder.put(part, i, is_output ? at + 1 : at, static_cast<int>(half.pins.size()));
        half.pins.push_back({std::string(terminal.name), is_output ? Side::right : Side::left, false,
                             pole_of(part.kind, terminal.role), terminal.role});
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

// Several poles: a contact each, the coil with the first.
void add_poles(Builder& builder, PartId id) {
    const Part& part = builder.harness.part(id);
    std::map<std::uint16_t, int> element_of;
    const auto add = [&](std::uint32_t i, std::uint16_t pole) {
        const Terminal& terminal = builder.terminal(part, i);
        const auto [entry, fresh] = element_of.try_emplace(pole, -1);
        if (fresh) {
            Element element = blank(builder, id);
            element.form = Form::symbol;
            element.pole = true;
            if (element_of.size() > 1) element.rating.clear(), element.label.clear();
            element.name += "." + std::to_string(pole);
            entry->second = builder.add(std::move(element));
        }
        Element& element = builder.model.elements[static_cast<std::size_t>(entry->second)];
        const TerminalRole role = terminal.role;
        const bool coil = role == TerminalRole::coil_in || role == TerminalRole::coil_out;
        builder.put(part, i, entry->second, static_cast<int>(element.pins.size()));
        element.pins.push_back({std::string(terminal.name), is_first_pole(role) ? Side::left : Side::right,
                                coil, Pole::none, role});
    };
    std::uint16_t first = 0;
    for (std::uint32_t i = 0; i < part.terminals.count; ++i)
        if (const std::uint16_t pole = builder.terminal(part, i).number; pole > 0) {
            if (first == 0) first = pole;
            add(i, pole);
        }
    for (std::uint32_t i = 0; i < part.terminals.count; ++i)
        if (builder.terminal(part, i).number == 0) add(i, first);
    for (const auto& [pole, index] : element_of)
        builder.model.elements[static_cast<std::size_t>(index)].conducts = {{0, 1}};
}

// Every contact of it has two ends, and there are several.
bool has_poles(const Builder& builder, PartId id) {
    const Part& part = builder.harness.part(id);
    std::map<std::uint16_t, int> ends;
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
        const Terminal& terminal = builder.terminal(part, i);
        if (terminal.role == TerminalRole::coil_in || terminal.role == TerminalRole::coil_out) continue;
        if (terminal.role != TerminalRole::in && terminal.role != TerminalRole::out) return false;
        ++ends[terminal.number];
    }
    return ends.size() > 1 && std::all_of(ends.begin(), ends.end(), [](const auto& each) {
               return each.first > 0 && each.second == 2;
           });
}

// One point a way, bridged ways together.
void add_terminal_block(Builder& builder, PartId id, const std::vector<bool>& landed) {
    const Part& part = builder.harness.part(id);
    std::vector<std::uint32_t> head(part.terminals.count);
    for (std::uint32_t i = 0; i < part.terminals.count; ++i) head[i] = i;
    for (const Slice bridge : builder.harness.bridges_of(id))
        for (const TerminalId way : builder.harness.joined(bridge)) {
            const auto place = [&](TerminalId each) { return each.index() - part.terminals.first; };
            const std::uint32_t first = head[place(builder.harness.joined(bridge)[0])],
                                old = head[place(way)];
            std::replace(head.begin(), head.end(), old, first);
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
            if (has_poles(builder, id)) return add_poles(builder, id);
            return add_whole(builder, id,
                             builder.harness.terminal_of(id, TerminalRole::in) ? Form::symbol : Form::box);
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
    merge_points(harness, place_of, model);
    seat_on_bars(harness, place_of, model);
    give_places(builder, landed);
}

}  // namespace loomward::sheet
