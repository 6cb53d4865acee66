#include "parser/language/workshop_words.hpp"

#include <algorithm>
#include <string>

namespace loomward {
namespace {

// How a statement of each kind is written.
namespace sample {
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
}  // namespace sample

constexpr WorkshopWord every_word[] = {
    {"battery", "pack", sample::pack},
    {"accumulator", "pack", sample::pack},
    {"cell", "pack", sample::pack},
    {"cells", "pack", sample::pack},
    {"lamp", "load", sample::load},
    {"light", "load", sample::load},
    {"headlight", "load", sample::load},
    {"bulb", "load", sample::load},
    {"led", "load", sample::load},
    {"horn", "load", sample::load},
    {"buzzer", "load", sample::load},
    {"pump", "load", sample::load},
    {"fan", "load", sample::load},
    {"heater", "load", sample::load},
    {"radio", "load", sample::load},
    {"winch", "load", sample::load},
    {"coil", "load", sample::load},
    {"consumer", "load", sample::load},
    {"ground", "frame", sample::frame},
    {"earth", "frame", sample::frame},
    {"chassis", "frame", sample::frame},
    {"gnd", "frame", sample::frame},
    {"solar", "panel", sample::panel},
    {"solar-panel", "panel", sample::panel},
    {"module", "panel", sample::panel},
    {"mppt", "charger", sample::panel_charger},
    {"regulator", "charger", sample::panel_charger},
    {"alternator", "charger", sample::charger},
    {"generator", "charger", sample::charger},
    {"dynamo", "charger", sample::charger},
    {"supply", "charger", sample::charger},
    {"throttle", "device", sample::device},
    {"grip", "device", sample::device},
    {"pedal", "device", sample::device},
    {"joystick", "device", sample::device},
    {"sensor", "device", sample::device},
    {"display", "device", sample::device},
    {"esc", "controller", sample::controller},
    {"motor-controller", "controller", sample::controller},
    {"dc-dc", "converter", sample::converter},
    {"dcdc", "converter", sample::converter},
    {"buck", "converter", sample::converter},
    {"boost", "converter", sample::converter},
    {"transformer", "converter", sample::converter},
    {"ac-dc", "inverter", sample::inverter},
    {"plug", "connector", sample::connector},
    {"socket", "connector", sample::connector},
    {"inlet", "connector", sample::connector},
    {"coupling", "connector", sample::connector},
    {"key", "switch", sample::a_switch},
    {"button", "switch", sample::a_switch},
    {"push", "switch", sample::a_switch},
    {"toggle", "switch", sample::a_switch},
    {"isolator", "switch", sample::a_switch},
    {"disconnect", "switch", sample::a_switch},
    {"stop", "switch", sample::a_switch},
    {"solenoid", "contactor", sample::contactor},
    {"circuit-breaker", "breaker", sample::breaker},
    {"mcb", "breaker", sample::breaker},
    {"fusebox", "fuse-block", sample::fuse_block},
    {"fuse-box", "fuse-block", sample::fuse_block},
    {"fuse-holder", "fuse-block", sample::fuse_block},
    {"terminal", "terminal-block", sample::terminal_block},
    {"terminals", "terminal-block", sample::terminal_block},
    {"terminal-strip", "terminal-block", sample::terminal_block},
    {"bus", "busbar", sample::busbar},
    {"bar", "busbar", sample::busbar},
    {"bus-bar", "busbar", sample::busbar},
    {"rail", "busbar", sample::busbar},
    {"joint", "splice", sample::splice},
    {"junction", "splice", sample::splice},
    {"solder", "splice", sample::splice},
    {"bolt", "stud", sample::stud},
    {"post", "stud", sample::stud},
    {"balancer", "bms", sample::bms},
    {"rectifier", "diode", sample::diode},
    {"condenser", "capacitor", sample::capacitor},
    {"supercapacitor", "capacitor", sample::capacitor},
    {"ballast", "resistor", sample::resistor},
    {"engine", "motor", sample::motor},
    {"drive", "motor", sample::motor},
    {"conduit", "bundle", sample::bundle},
    {"sleeve", "bundle", sample::bundle},
    {"box", "location", sample::location},
    {"enclosure", "location", sample::location},
    {"compartment", "location", sample::location},
    {"lead", "route", sample::route},
    {"cord", "route", sample::route},
    {"conductor", "route", sample::route},
    {"connect", "route", sample::route},
    {"connection", "route", sample::route},
    {"state", "mode", sample::mode},
    {"include", "use", sample::use},
    {"import", "use", sample::use},
    {"type", "part", sample::part},
    {"ignore", "accept", sample::accept},
    {"allow", "accept", sample::accept},
    {"limits", "policy", sample::policy},
    {"settings", "policy", sample::policy},
};

struct WorkshopDimension {
    std::string_view word;
    Dimension dimension;
};
constexpr WorkshopDimension workshop_dimensions[] = {
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
    return every_word;
}

const WorkshopWord* find_workshop_word(std::string_view word) {
    const std::string text = lower(word);
    const auto* found = std::find_if(std::begin(every_word), std::end(every_word),
                                     [&](const WorkshopWord& row) { return row.word == text; });
    return found == std::end(every_word) ? nullptr : found;
}

Dimension workshop_dimension(std::string_view word) {
    const std::string text = lower(word);
    for (const WorkshopDimension& row : workshop_dimensions)
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
