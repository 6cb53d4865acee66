#include "parser/language/workshop_words.hpp"

#include <algorithm>
#include <string>

namespace loomward {
namespace {

constexpr std::string_view pack = "pack B1 { voltage 40..54.6 V, capacity 20 Ah }";
constexpr std::string_view load = "load E1 \"lamp\" { 12 V, 10 W }";
constexpr std::string_view frame = "frame X9 \"chassis\" { serves return }";
constexpr std::string_view panel = "panel V1 { open-circuit-voltage 38 V, short-circuit-current 9 A }";
constexpr std::string_view panel_charger = "charger G1 { output 56 V 12 A, panel-input 20..75 V }";
constexpr std::string_view charger = "charger G1 { output 54.6 V 5 A }";
constexpr std::string_view device =
    "device A1 \"grip\" { pin 5v supply 8 mA, pin gnd return, pin out signal }";
constexpr std::string_view controller = "controller U1 { input 30..60 V, supply-limit 40 A }";
constexpr std::string_view converter = "converter D1 { input 30..60 V, output 12 V 10 A, negative common }";
constexpr std::string_view inverter = "inverter E1 { 2 kW, input 40..60 V }";
constexpr std::string_view connector = "connector J1 { mate P1, half socket, contacts + - }";
constexpr std::string_view a_switch = "switch S1 \"key\" { 60 V dc, carries 10 A, breaks 5 A at 60 V dc }";
constexpr std::string_view contactor =
    "contactor K1 { carries 100 A, breaks 80 A at 80 V dc, coil 48 V 300 mA }";
constexpr std::string_view breaker = "breaker F1 { 40 A, 80 V dc, breaks 6 kA at 80 V dc }";
constexpr std::string_view fuse_block = "fuse-block X3 { ways 6, feed common }";
constexpr std::string_view terminal_block = "terminal-block X4 { ways 5, bridge 1 2 3 4 5 }";
constexpr std::string_view busbar = "busbar X1 { studs 4 }";
constexpr std::string_view splice = "splice X5";
constexpr std::string_view stud = "stud X6";
constexpr std::string_view bms = "bms Q1 { side low, ports common, discharge 60 A }";
constexpr std::string_view diode = "diode D2 { 10 A, 100 V }";
constexpr std::string_view capacitor = "capacitor C1 { 1 mF, 80 V }";
constexpr std::string_view resistor = "resistor R1 { 100 ohm, 25 W }";
constexpr std::string_view motor = "motor M1 { leads 3 }";
constexpr std::string_view bundle = "bundle L1 { wrap taped, length 1.2 m }";
constexpr std::string_view location = "location box { ambient 0..50 degC }";
constexpr std::string_view route = "route B1.+ (W1 4 mm2, 0.2 m, red) F1.in";
constexpr std::string_view mode = "mode drive { others at rest }";
constexpr std::string_view use = "use \"shelf.loom\"";
constexpr std::string_view part = "part lamp-10W is load { 12 V, 10 W }";
constexpr std::string_view accept = "accept unprotected-wire on W1 because \"0.2 m, double sleeve\"";
constexpr std::string_view policy = "policy { voltage-drop 5 % }";

constexpr WorkshopWord table[] = {
    {"battery", "pack", pack},
    {"accumulator", "pack", pack},
    {"cell", "pack", pack},
    {"cells", "pack", pack},
    {"lamp", "load", load},
    {"light", "load", load},
    {"headlight", "load", load},
    {"bulb", "load", load},
    {"led", "load", load},
    {"horn", "load", load},
    {"buzzer", "load", load},
    {"pump", "load", load},
    {"fan", "load", load},
    {"heater", "load", load},
    {"radio", "load", load},
    {"winch", "load", load},
    {"coil", "load", load},
    {"consumer", "load", load},
    {"ground", "frame", frame},
    {"earth", "frame", frame},
    {"chassis", "frame", frame},
    {"gnd", "frame", frame},
    {"solar", "panel", panel},
    {"solar-panel", "panel", panel},
    {"module", "panel", panel},
    {"mppt", "charger", panel_charger},
    {"regulator", "charger", panel_charger},
    {"alternator", "charger", charger},
    {"generator", "charger", charger},
    {"dynamo", "charger", charger},
    {"supply", "charger", charger},
    {"throttle", "device", device},
    {"grip", "device", device},
    {"pedal", "device", device},
    {"joystick", "device", device},
    {"sensor", "device", device},
    {"display", "device", device},
    {"esc", "controller", controller},
    {"motor-controller", "controller", controller},
    {"dc-dc", "converter", converter},
    {"dcdc", "converter", converter},
    {"buck", "converter", converter},
    {"boost", "converter", converter},
    {"transformer", "converter", converter},
    {"ac-dc", "inverter", inverter},
    {"plug", "connector", connector},
    {"socket", "connector", connector},
    {"inlet", "connector", connector},
    {"coupling", "connector", connector},
    {"key", "switch", a_switch},
    {"button", "switch", a_switch},
    {"push", "switch", a_switch},
    {"toggle", "switch", a_switch},
    {"isolator", "switch", a_switch},
    {"disconnect", "switch", a_switch},
    {"stop", "switch", a_switch},
    {"solenoid", "contactor", contactor},
    {"circuit-breaker", "breaker", breaker},
    {"mcb", "breaker", breaker},
    {"fusebox", "fuse-block", fuse_block},
    {"fuse-box", "fuse-block", fuse_block},
    {"fuse-holder", "fuse-block", fuse_block},
    {"terminal", "terminal-block", terminal_block},
    {"terminals", "terminal-block", terminal_block},
    {"terminal-strip", "terminal-block", terminal_block},
    {"bus", "busbar", busbar},
    {"bar", "busbar", busbar},
    {"bus-bar", "busbar", busbar},
    {"rail", "busbar", busbar},
    {"joint", "splice", splice},
    {"junction", "splice", splice},
    {"solder", "splice", splice},
    {"bolt", "stud", stud},
    {"post", "stud", stud},
    {"balancer", "bms", bms},
    {"rectifier", "diode", diode},
    {"condenser", "capacitor", capacitor},
    {"supercapacitor", "capacitor", capacitor},
    {"ballast", "resistor", resistor},
    {"engine", "motor", motor},
    {"drive", "motor", motor},
    {"conduit", "bundle", bundle},
    {"sleeve", "bundle", bundle},
    {"box", "location", location},
    {"enclosure", "location", location},
    {"compartment", "location", location},
    {"lead", "route", route},
    {"cord", "route", route},
    {"conductor", "route", route},
    {"connect", "route", route},
    {"connection", "route", route},
    {"state", "mode", mode},
    {"include", "use", use},
    {"import", "use", use},
    {"type", "part", part},
    {"ignore", "accept", accept},
    {"allow", "accept", accept},
    {"limits", "policy", policy},
    {"settings", "policy", policy},
};

struct WorkshopDimension {
    std::string_view word;
    Dimension dimension;
};
constexpr WorkshopDimension dimensions[] = {
    {"volts", Dimension::voltage},
    {"voltage", Dimension::voltage},
    {"rated-voltage", Dimension::voltage},
    {"nominal", Dimension::voltage},
    {"amps", Dimension::current},
    {"ampere", Dimension::current},
    {"amperes", Dimension::current},
    {"current", Dimension::current},
    {"rating", Dimension::current},
    {"rated", Dimension::current},
    {"rated-current", Dimension::current},
    {"watts", Dimension::power},
    {"wattage", Dimension::power},
    {"power", Dimension::power},
    {"ohms", Dimension::resistance},
    {"resistance", Dimension::resistance},
    {"value", Dimension::resistance},
    {"size", Dimension::area},
    {"gauge", Dimension::area},
    {"awg", Dimension::area},
    {"section", Dimension::area},
    {"area", Dimension::area},
    {"cross-section", Dimension::area},
    {"length", Dimension::length},
    {"long", Dimension::length},
    {"farads", Dimension::capacitance},
    {"capacitance", Dimension::capacitance},
};

struct WorkshopAttribute {
    std::string_view word, attribute;
};
constexpr WorkshopAttribute attributes[] = {
    {"ampacity", "carries"},
    {"max-current", "carries"},
    {"current-rating", "carries"},
    {"continuous", "carries"},
    {"breaking-capacity", "breaks"},
    {"interrupting", "breaks"},
    {"interrupts", "breaks"},
    {"switches", "breaks"},
    {"esr", "resistance"},
    {"internal-resistance", "resistance"},
    {"inner-resistance", "resistance"},
    {"max-discharge", "discharge"},
    {"max-charge", "charge"},
    {"battery-current", "supply-limit"},
    {"input-current", "supply-limit"},
    {"phase-current", "phase-limit"},
    {"battery-limit", "supply-limit"},
    {"input-voltage", "input"},
    {"output-voltage", "output"},
    {"gives", "output"},
    {"poles", "contacts"},
    {"pins", "contacts"},
    {"positions", "ways"},
    {"slots", "ways"},
    {"fuses", "ways"},
    {"bolts", "studs"},
    {"phase-wires", "leads"},
    {"wires", "leads"},
    {"temperature", "ambient"},
    {"surroundings", "ambient"},
    {"quiescent", "standby"},
    {"idle", "standby"},
    {"sleep", "standby"},
    {"remark", "note"},
    {"comment", "note"},
    {"description", "note"},
    {"location", "at"},
    {"bundle", "in"},
    {"loom", "in"},
};

std::string lower(std::string_view word) {
    std::string text(word);
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

}  // namespace

std::span<const WorkshopWord> workshop_words() {
    return table;
}

const WorkshopWord* find_workshop_word(std::string_view word) {
    const std::string text = lower(word);
    const auto* found = std::find_if(std::begin(table), std::end(table),
                                     [&](const WorkshopWord& row) { return row.word == text; });
    return found == std::end(table) ? nullptr : found;
}

Dimension workshop_dimension(std::string_view word) {
    const std::string text = lower(word);
    for (const WorkshopDimension& row : dimensions)
        if (row.word == text) return row.dimension;
    return Dimension::none;
}

std::string_view workshop_attribute(std::string_view word) {
    const std::string text = lower(word);
    for (const WorkshopAttribute& row : attributes)
        if (row.word == text) return row.attribute;
    return {};
}

}  // namespace loomward
