// The attributes of the language, one row each; kinds.hpp says which kinds take them.
#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace loomward {

// What holds for the values of an attribute beyond its shape.
struct AttributeLimits {
    bool never_unknown = false;  // decides which terminals there are or how they are joined: never guessed
    bool above_zero = false;    // nothing of it is no part at all; the arithmetic would have no answer either
    bool fixed = false;         // decides terminals or wiring: the same in every copy of an assembly
    double lowest_percent = 0;  // a percentage means nothing outside these ends
    double highest_percent = 0;  // 0: any
    double highest = 0;          // in place of what its dimension ends at; 0: as that does
};
namespace limits {
inline constexpr AttributeLimits never_unknown{.never_unknown = true}, above_zero{.above_zero = true},
    fixed{.fixed = true}, known_and_fixed{.never_unknown = true, .fixed = true};
constexpr AttributeLimits percent(double lowest, double highest, bool not_zero = false) {
    return {.above_zero = not_zero, .lowest_percent = lowest, .highest_percent = highest};
}
}  // namespace limits

// One attribute of the language. Names in ( ) are nameless values: `fuse { 100 A }` has "(rated-current)".
//
// Shapes: words stand for themselves; <current> is a quantity of that dimension (a spread `a..b` is
// allowed), <voltage-range> must be a range, <count> <text> <name> <names> <colour> <series> are what
// they say, <family> is a word of insulation_families(), <open|taped> is one word of a set, [ ] may be left
// out as a whole, and `or` separates whole alternatives. Each < > becomes one Value, in the order written;
// fixed words become none. Every alternative of an `or` fills places from 0 (tell them apart by the value's
// dimension); `none` becomes a word Value at place 0. <series> (14s8p) becomes two counts; <names> takes one
// Value a name and stands last. `unknown` may stand for the first value of any attribute but the ones that
// decide terminals.
struct AttributeInfo {
    std::string_view name;
    std::string_view shape;
    std::string_view meaning;  // half a line for docs/language.md
    bool repeatable = false;
    std::string_view example = {};  // its values in a message or a document; empty: made from the shape
    AttributeLimits limits = {};    // nameless ones are above zero without saying so
};

inline constexpr auto attribute_table = std::to_array<AttributeInfo>({
    // nameless: what is printed on the part, at most one a dimension
    {"(rated-current)", "<current>", "rated current"},
    {"(rated-voltage)", "<voltage>", "rated voltage"},
    {"(operational-voltage)", "<voltage> <dc|ac>", "rated operational voltage of a device that breaks"},
    {"(resistance)", "<resistance>", "resistance"},
    {"(power)", "<power>", "rated power"},
    {"(current)", "<current>", "current drawn"},
    {"(capacitance)", "<capacitance>", "capacitance"},
    {"(area)", "<area>", "cross-section of one conductor"},
    {"(length)", "<length>", "length"},
    {"(colour)", "<colour>", "insulation colour, two joined by a hyphen"},
    // any kind
    {"note", "<text>", "a remark that reaches the papers", true},
    {"doubt", "<text>", "what contradicts what and has to be found out", true,
     "\"the text says 60 A, the drawing 120 A\""},
    {"order", "<text>", "what to order, in your own words"},
    {"at", "<name>", "the location it is mounted in", false, "tray"},
    {"torque", "<torque>", "tightening torque"},
    {"marks", "<name> <name>", "our terminal name, then what the part has printed there", true, "com 30",
     limits::fixed},
    // pack
    {"cells", "<series>", "cells in series and parallel", false, "14s8p"},
    {"cell-voltage", "<voltage-range>", "one cell, empty to full", false, "3.0..4.2 V", limits::above_zero},
    {"cell-resistance", "<resistance>", "one cell", false, "18 mohm"},
    {"cell-capacity", "<charge>", "one cell", false, "5 Ah", limits::above_zero},
    {"voltage", "<voltage-range>", "at the terminals, empty to full", false, {}, limits::above_zero},
    {"resistance", "<resistance>", "between the terminals, of one contact, or between two leads of a motor"},
    {"capacity", "<charge>", "of the pack", false, {}, limits::above_zero},
    {"discharge", "<current>", "largest continuous discharge current"},
    {"charge", "<current>", "largest charge current"},
    {"peak", "<current> for <time>", "short discharge peak"},
    {"link-resistance", "<resistance>", "busbars and leads inside the pack"},
    {"aged-resistance", "<percentage>", "resistance at the end of life, against new", false, "150 %",
     limits::percent(100, 1000)},
    {"discharge-at", "<temperature> <current>", "discharge limit at an ambient temperature", true,
     "45 degC 60 A"},
    {"charge-at", "<temperature> <current>", "charge limit at an ambient temperature", true, "45 degC 10 A"},
    {"mass", "<mass>", "of its cells together", false, "12 kg", limits::above_zero},
    {"taps", "<names>", "cell counts from minus where a tap is brought out (t5)", false, "5", limits::fixed},
    // bms
    {"side", "<low|high>", "which pole it interrupts", false, {}, limits::known_and_fixed},
    {"ports",
     "<common|separate>",
     "one port for both directions, or one each",
     false,
     {},
     limits::known_and_fixed},
    {"trips", "<current> after <time>", "overcurrent trip", true, "180 A after 0.5 s"},
    {"charge-trips", "<current> after <time>", "charge overcurrent trip", true, "60 A after 2 s"},
    {"drives", "<name>", "the contactor that it opens, in place of a switch of its own", false, "K1",
     limits::fixed},
    {"standby", "<current>", "own consumption", false, "15 mA"},
    // fuse, breaker
    {"breaks", "none or <current> [at <voltage> <dc|ac>]",
     "breaking capacity; says at which voltage unless one is printed"},
    {"curve",
     "<iso8820-3|iso8820-3-e|iso8820-5|iec60127-f|iec60127-t|iec60269-gg|ul248-14|ul248-15|iec60898-b|"
     "iec60898-c|iec60947-2>",
     "family of its time-current band"},
    {"point", "<current> <time>", "one point of its own time-current band", true, "20 A 0.1..1.5 s"},
    {"melts", "<joule-integral>", "smallest pre-arcing integral"},
    {"clears", "<joule-integral>", "largest operating integral"},
    {"instantaneous", "<current>", "setting of the instantaneous short-circuit release"},
    {"rated-at", "<temperature>", "ambient its rating holds at"},
    {"holder", "<name>", "the way of a fuse block it sits in", false, "X3.1", limits::fixed},
    {"reset", "<hand|itself|power-off>", "how it closes again", false, {}, limits::never_unknown},
    // fuse block, terminal block, busbar
    {"ways", "<count>", "number of ways", false, {}, limits::fixed},
    {"feed", "<common|separate>", "one feed for all ways, or one each", false, {}, limits::known_and_fixed},
    {"carries", "<current>", "largest continuous current"},
    {"way-carries", "<current>", "largest continuous current of one way"},
    {"takes", "<area-range>", "cross-sections its terminals take", false, "10..16 mm2"},
    {"bridge", "<names>", "ways joined by a bridge", true, "1 2", limits::fixed},
    {"studs", "<count>", "number of studs", false, {}, limits::fixed},
    // contactor, relay, switch, selector
    {"makes", "<current>", "largest current it may close on"},
    {"withstands", "<current> for <time>", "rated short-time withstand current", false, "1.5 kA for 1 s"},
    {"coil", "<voltage> <current>", "coil, rated", false, "48 V 300 mA", limits::above_zero},
    {"coil-works", "<voltage-range>", "coil voltages it holds and survives"},
    {"suppression", "<none|diode|resistor|varistor|zener|built-in>", "across the coil"},
    {"latching", "[<yes|no>]", "stays as it was put when its coil loses its supply", false, "yes",
     limits::never_unknown},
    {"task", "<drives|holds|brakes|steers|lights|warns>",
     "what it is for, and so what its failures mean; holds: when it is not fed", false, "holds",
     limits::never_unknown},
    {"stop", "[<yes|no>]", "meant to stop what drives", false, "yes", limits::never_unknown},
    {"hand", "[<yes|no>]", "in reach of a hand under way", false, "yes", limits::never_unknown},
    {"opening-time", "<time>", "from its coil losing its supply until its contacts are open", false, "30 ms"},
    {"nominal", "<voltage>", "voltage of the machines it is sold for; how far it is good is its rated one"},
    {"polarised", "<yes|no>", "breaks in one direction only", false, {}, limits::never_unknown},
    {"contacts", "<names>", "connector: count or names; relay: no, nc or change-over, one a pole", false, "2",
     limits::fixed},
    {"poles", "<count>", "number of poles", false, {}, limits::fixed},
    // of a contact open or closed, of a load on or off: takes_word()
    {"rest", "<open|closed|on|off>", "state when left alone", false, {}, limits::never_unknown},
    {"terminals", "<names>", "names of its terminals", false, "com 1 2", limits::fixed},
    {"position", "<names>", "name of a position and the terminals it joins; the first is rest", true,
     "both 1 2 com", limits::fixed},
    // connector
    {"mate", "<name>", "name of the other half", false, "P1", limits::fixed},
    {"half", "<socket|pin|alike>", "contacts of the half that is named first"},
    {"limit", "<temperature>", "largest temperature of a contact, or of a winding", false, "105 degC"},
    {"contact-resistance", "<resistance>", "one mated contact", false, "0.5 mohm"},
    {"contact", "<name> <current> <area-range>", "a contact unlike the others", true, "s5 3 A 0.25..0.5 mm2"},
    {"spare", "<names>", "terminals left empty on purpose", false, "3"},
    // splice, stud, frame, shunt, diode
    {"method", "<crimp|solder|clamp>", "how it is made"},
    {"serves", "<bond|return>", "what a frame is used for", false, {}, limits::never_unknown},
    {"drop", "<voltage>", "voltage at rated current", false, "50 mV"},
    // resistor, capacitor
    {"pulse", "<energy>", "energy of one pulse it survives"},
    {"bleed", "<resistance>", "resistor across it"},
    // controller, motor
    {"input", "<voltage-range>", "supply voltages it works at", false, {}, limits::above_zero},
    {"supply-limit",
     "<current> or <percentage> of phase-limit",
     "setting: largest current from the supply",
     false,
     {},
     limits::percent(0, 100)},
    {"phase-peak", "<current>", "largest phase current of the hardware", false, {}, limits::above_zero},
    {"phase-limit",
     "<percentage> of phase-peak",
     "setting: largest phase current",
     false,
     {},
     limits::percent(0, 100)},
    {"regen", "none or <current>", "current it may return to the supply"},
    {"phases", "<count>", "number of phase leads", false, {}, limits::fixed},
    {"supply-at", "<temperature> <current>", "supply limit at an ambient temperature", true, "45 degC 60 A"},
    {"precharges", "<name> <resistance>", "pin that precharges, through what", false, "main 47 ohm"},
    {"leads", "<count>", "motor leads", false, {}, limits::fixed},
    // panel
    {"open-circuit-voltage", "<voltage>", "of one panel, at 25 degC", false, "24 V", limits::above_zero},
    {"short-circuit-current", "<current>", "of one panel in full sun", false, "9 A", limits::above_zero},
    {"maximum-series-fuse", "<current>", "largest fuse that may stand in line with it", false, "15 A",
     limits::above_zero},
    // converter, charger, inverter
    {"output", "<voltage> <current>", "output voltage and largest current", false, "12.5 V 10 A",
     limits::above_zero},
    {"efficiency", "<percentage>", "output power to input power", false, "88 %",
     limits::percent(1, 100, true)},
    {"negative",
     "<common|isolated>",
     "whether the two minus sides are one point",
     false,
     {},
     limits::never_unknown},
    {"reverse", "<blocked|passes>", "whether current can flow back through it"},
    {"short-circuit", "<current>", "output current into a short"},
    {"capacitance", "<capacitance>", "input capacitance"},
    {"panel-input", "<voltage-range>", "terminals in+ and in- for solar panels: voltages they take", false,
     "15..100 V", limits::known_and_fixed},
    {"panel-current", "<current>", "largest short-circuit current of the panels on them", false, "30 A",
     limits::above_zero},
    {"charges", "<voltage> <current>", "charger inside: voltage and largest current that it gives back",
     false, "28.4 V 40 A", limits::above_zero},
    // load, device
    {"acts-as", "<resistor|current|power>", "how its current follows the voltage"},
    {"works", "<voltage-range>", "voltages it works at"},
    {"inrush", "<current> for <time>", "when switched on"},
    {"stall", "<current>", "when blocked"},
    {"pin", "<name> <signal|return|supply|output|low-side|high-side> [<voltage>] [<current>]",
     "a further pin", true, "key supply 60 mA", limits::fixed},
    // wire, cable
    {"insulation", "<family> [<temperature>]", "family and largest conductor temperature", false,
     "pvc 90 degC"},
    {"material", "<copper|aluminium>", "conductor"},
    {"parallel", "<count>", "equal conductors side by side"},
    {"outer-diameter", "<length>", "over the insulation", false, "5 mm"},
    {"ends", "<text> <text>", "terminations", false, "\"ring 8\" \"pin\""},
    {"in", "<names>", "the bundle it lies in, at most two", false, "L1"},
    {"along", "<names>", "stretches it runs along, added to its own length", false, "R1", limits::fixed},
    {"cores", "<names>", "count or colours of the cores", false, "red black white", limits::fixed},
    {"core", "<name> <area>", "a core unlike the others", true, "red 1.5 mm2", limits::fixed},
    // bundle, location
    {"wrap", "<open|taped|sleeved|conduit|foamed>", "what holds it together"},
    {"length", "<length>", "of the bundle"},
    {"ambient", "<temperature-range>", "surroundings, coldest to hottest"},
    {"air", "<still|moving> [<speed>]", "around it, and the least at which it moves across the wires", false,
     "moving 2 m/s", limits::never_unknown},
    // heat: of a location, and of what gives heat
    {"size", "<length> x <length> x <length>", "outside of a closed box, or of a body: width, depth, height",
     false, "300 mm x 200 mm x 120 mm", limits::above_zero},
    {"wall", "<bare|painted|plastic>", "of a closed box, or of a body: bare metal, painted metal, plastic"},
    {"vents", "<opening> <length>",
     "free area at the top and as much at the bottom, and how far one lies above the other", false,
     "20 cm2 0.2 m"},
    {"state", "<name> [<thermal-resistance>] [<opening> <length>]",
     "name of a state that modes put it `at`, and the path or the vents that it has then, in place of its "
     "own",
     true, "open 20 cm2 0.2 m"},
    {"thermal-resistance", "<thermal-resistance>",
     "from the air in a location, or from the body of a part, to the air around it", false, "0.8 K/W",
     limits::above_zero},
    {"mounting", "<bedded|stood-off>", "of its body: in grease on metal, or with air all round"},
    {"time-constant", "<time>", "of its warming: so long until 63 % of a rise are there", false, "5 min",
     limits::above_zero},
    {"losses", "<power> [at <current>]", "what it turns to heat, at all times or at a current", false,
     "40 W at 60 A"},
    {"rise", "<temperature-rise> at <current> after <time>",
     "measured: how much hotter its body gets than the air around it", false, "35 K at 60 A after 1 h",
     limits::above_zero},
    {"gives-less-from", "<temperature>", "temperature of its body from which on it gives less", false,
     "80 degC"},
    {"cuts-out-at", "<temperature>",
     "temperature of its body, or of the cells, at which it switches itself off", false, "100 degC"},
    {"highest-ambient", "<temperature>", "highest temperature of the air in a location, or around a part",
     false, "60 degC"},
    // harness, policy
    {"altitude",
     "<length>",
     "above the sea: thin air takes less heat along",
     false,
     "2500 m",
     {.highest = 9000}},
    {"subtitle", "<text>", "second line of the title", false, "\"wheel loader, export build\""},
    {"document", "<text>", "number by which the papers of this harness are filed", false, "\"H-0417\""},
    {"revision", "<text>", "of the harness", false, "\"C\""},
    {"date", "<text>", "on which this revision was issued; never made up", false, "\"2026-04-30\""},
    {"drawn-by", "<text>", "who wrote it", false, "\"A. Quill\""},
    {"checked-by", "<text>", "who checked it", false, "\"B. Reed\""},
    {"approved-by", "<text>", "who released it", false, "\"C. Sedge\""},
    {"legal-owner", "<text>", "whose papers they are", false, "\"Tarn Lane Works\""},
    {"voltage-drop", "<percentage>", "largest drop from source to load, out and back", false, "3 %",
     limits::percent(0, 100)},
    {"continuous-fuse-load",
     "<percentage>",
     "of rated current, for hours",
     false,
     {},
     limits::percent(1, 100)},
    {"unprotected-length", "<length>", "allowed between a source and its device", false, "180 mm"},
    {"live-when-unmated-above", "<voltage>", "limit for bare live contacts"},
    {"estimate-spread", "<percentage>", "either way, for about", false, "25 %", limits::percent(0, 90)},
    {"precharge-to", "<percentage>", "of the supply voltage", false, "95 %", limits::percent(1, 100)},
    {"joint-resistance", "<resistance>", "of one wire end", false, "0.1 mohm"},
    {"hottest-conductor", "<temperature>", "a limit below that of the insulation", false, "90 degC"},
    {"signal-current", "<current>", "largest current a signal lead may be fed", false, "100 mA"},
    // assembly
    {"repeat", "<count>", "how many copies follow each other", false, {}, limits::never_unknown},
    {"chain", "<name> <name>", "port of one copy, port of the next", true, "out+ in+"},
});

// An attribute's number in the table.
enum class Attr : std::uint8_t {};

consteval Attr find_attribute_at_compile_time(std::string_view name) {
    for (std::size_t i = 0; i < attribute_table.size(); ++i)
        if (attribute_table[i].name == name) return static_cast<Attr>(i);
    throw "no attribute of that name";
}
inline namespace literals {
// "carries"_attr; a misspelt name does not compile.
consteval Attr operator""_attr(const char* name, std::size_t size) {
    return find_attribute_at_compile_time({name, size});
}
}  // namespace literals

inline constexpr const AttributeInfo& info(Attr attribute) {
    return attribute_table[static_cast<std::size_t>(attribute)];
}

}  // namespace loomward
