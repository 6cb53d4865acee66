// What is written at a part, and which symbol it has.
#include <algorithm>
#include <cctype>

#include "checker/parts/stops.hpp"
#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

using namespace loomward::literals;

std::string value_text(const Value& value) {
    if (value.type == ValueType::quantity) {
        if (value.known == Knowledge::unknown) return "?";
        return to_text(value.quantity());
    }
    return std::string(value.text);
}

void append(std::string& text, std::string_view more) {
    if (more.empty()) return;
    if (!text.empty()) text += ' ';
    text += more;
}

bool speaks_of(std::string_view label, std::string_view word) {
    const auto same = [](char a, char b) {
        return std::tolower(static_cast<unsigned char>(a)) == std::tolower(static_cast<unsigned char>(b));
    };
    return std::search(label.begin(), label.end(), word.begin(), word.end(), same) != label.end();
}

// A load is drawn as a lamp if its label says so, as a motor if its reference letter does (M of IEC 81346-2).
Symbol load_symbol(std::string_view name, std::string_view label) {
    if (speaks_of(label, "lamp") || speaks_of(label, "light")) return Symbol::lamp;
    const std::size_t dot = name.rfind('.');
    if (dot != std::string_view::npos) name.remove_prefix(dot + 1);
    const bool numbered = name.size() > 1 && std::isdigit(static_cast<unsigned char>(name[1]));
    if (numbered && name[0] == 'M') return Symbol::motor_two;
    return numbered && name[0] == 'H' && label.empty() ? Symbol::lamp : Symbol::load;
}

PartId harness_id(const Harness& harness, const Part& part) {
    return PartId(static_cast<std::size_t>(&part - harness.parts.data()));
}

// A stop is struck, whatever its label says; no attribute tells a key from a push-button, so its label does.
Actuator actuator_of(const Harness& harness, const Part& part) {
    if (is_stop(harness, part)) return Actuator::struck;
    const std::string_view label = part.label;
    if (speaks_of(label, "push") || speaks_of(label, "button")) return Actuator::push;
    return speaks_of(label, "key") ? Actuator::key : Actuator::hand;
}

bool says(const Harness& harness, const Part& part, Attr name, std::string_view word) {
    return harness.value(part.attributes, name).text == word;
}

}  // namespace

Shape shape_of(const Harness& harness, PartId id) {
    const Part& part = harness.part(id);
    Shape shape;
    switch (part.kind) {
        case Kind::switch_:
            shape.breaks = says(harness, part, "rest"_attr, "closed");
            shape.actuator = actuator_of(harness, part);
            break;
        case Kind::relay:
            shape.breaks = says(harness, part, "contacts"_attr, "nc");
            break;
        case Kind::connector:
            shape.pin_first = says(harness, part, "half"_attr, "pin");
            break;
        case Kind::breaker:
        case Kind::protector:
            shape.resets_itself = says(harness, part, "reset"_attr, "itself");
            shape.closed = true;
            break;
        case Kind::capacitor:
            shape.plus_first = part.terminals.count > 0 &&
                               harness.terminals[part.terminals.first].role == TerminalRole::plus;
            break;
        case Kind::controller:
            shape.phases = false;
            for (std::uint32_t i = 0; i < part.terminals.count; ++i)
                shape.phases =
                    shape.phases || harness.terminals[part.terminals.first + i].role == TerminalRole::w;
            break;
        default:
            break;
    }
    shape.closed = shape.closed || shape.breaks;
    return shape;
}

void set_contacts(const Harness& harness, const Mode& mode, SheetModel& model) {
    for (Element& element : model.elements) {
        if (element.part.index() >= mode.states.size()) continue;
        const Kind kind = harness.part(element.part).kind;
        if (kind != Kind::switch_ && kind != Kind::contactor && kind != Kind::relay && kind != Kind::breaker)
            continue;
        switch (mode.states[element.part.index()].posture) {
            case Posture::closed:
                element.shape.closed = true;
                break;
            case Posture::open:
                element.shape.closed = false;
                break;
            case Posture::energised:
                element.shape.closed = !element.shape.breaks;
                break;
            case Posture::released:
                element.shape.closed = element.shape.breaks;
                break;
            default:
                break;
        }
    }
}

// What is printed on the part, then the one or two named values a reader of the sheet looks for.
std::string rating_of(const Harness& harness, const Part& part) {
    std::string text;
    for (std::size_t i = 0; i < attribute_table.size();
         ++i) {  // in the table's order: current before voltage
        if (attribute_table[i].name.front() != '(') continue;
        const Attribute* attribute = harness.find(part.attributes, static_cast<Attr>(i));
        if (!attribute) continue;
        for (const Value& value : harness.values_of(*attribute))
            if (value.type == ValueType::quantity) append(text, value_text(value));
    }
    const auto named = [&](Attr name, std::size_t places) {
        for (std::size_t place = 0; place < places; ++place)
            append(text, value_text(harness.value(part.attributes, name, place)));
    };
    switch (part.kind) {
        case Kind::pack:
            named("cells"_attr, 1);
            named("voltage"_attr, 1);
            named("capacity"_attr, 1);
            break;
        case Kind::bms:
            named("discharge"_attr, 1);
            if (part.drives) append(text, "drives " + std::string(harness.part(part.drives).name));
            break;
        case Kind::converter:
        case Kind::charger:
            named("output"_attr, 2);
            break;
        case Kind::controller:
        case Kind::inverter:
            named("input"_attr, 1);
            break;
        case Kind::panel:
            named("open-circuit-voltage"_attr, 1);
            named("short-circuit-current"_attr, 1);
            break;
        case Kind::contactor:
        case Kind::relay:
            named("carries"_attr, 1);
            if (harness.find(part.attributes, "coil"_attr)) append(text, "coil"), named("coil"_attr, 1);
            if (const std::string_view kept = harness.value(part.attributes, "suppression"_attr).text;
                !kept.empty() && kept != "none")
                append(text, kept);
            break;
        case Kind::shunt:
            named("drop"_attr, 1);
            break;
        case Kind::switch_:
        case Kind::selector:
            named("carries"_attr, 1);
            for (const SelectorPosition& position : harness.positions_of(harness_id(harness, part))) {
                append(text, std::string(text.empty() ? "" : "· ") + std::string(position.name));
                std::string joins;
                for (const TerminalId terminal : harness.joined(position.joins))
                    joins += (joins.empty() ? " " : "–") + std::string(harness.terminal(terminal).name);
                text += joins;
            }
            break;
        case Kind::connector:
        case Kind::busbar:
        case Kind::motor:
        case Kind::fuse_block:
        case Kind::terminal_block:
            named("carries"_attr, 1);
            break;
        default:
            break;
    }
    return text;
}

Symbol symbol_of(const Part& part) {
    switch (part.kind) {
        case Kind::pack:
            return Symbol::pack;
        case Kind::bms:
            return Symbol::bms;
        case Kind::fuse:
            return Symbol::fuse;
        case Kind::breaker:
            return Symbol::breaker;
        case Kind::contactor:
            return Symbol::contactor;
        case Kind::relay:
            return Symbol::relay;
        case Kind::switch_:
            return Symbol::switch_;
        case Kind::resistor:
            return Symbol::resistor;
        case Kind::shunt:
            return Symbol::shunt;
        case Kind::capacitor:
            return Symbol::capacitor;
        case Kind::diode:
            return Symbol::diode;
        case Kind::controller:
            return Symbol::controller;
        case Kind::converter:
            return Symbol::converter;
        case Kind::inverter:
            return Symbol::inverter;
        case Kind::charger:  // from panels: direct current on both sides
            return part.terminals.count > 2 ? Symbol::converter : Symbol::charger;
        case Kind::motor:
            return part.terminals.count == 2 ? Symbol::motor_two : Symbol::motor;
        case Kind::load:
            return load_symbol(part.name, part.label);
        case Kind::frame:
            return Symbol::frame;
        default:
            return Symbol::none;
    }
}

const Pin* only_pin(const Element& element, TerminalRole role) {
    const Pin* found = nullptr;
    for (const Pin& pin : element.pins) {
        if (pin.role != role) continue;
        if (found) return nullptr;
        found = &pin;
    }
    return found;
}

bool shows_change_over(const Element& element) {
    return element.form == Form::box && only_pin(element, TerminalRole::com) &&
           only_pin(element, TerminalRole::no) && only_pin(element, TerminalRole::nc) &&
           only_pin(element, TerminalRole::coil_in);
}

}  // namespace loomward::sheet
