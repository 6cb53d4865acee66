// What a sheet shows, before anything has a place: the parts as drawn things with pins, the wires as lines
// between pins with all that is written at them, and the strips they are dealt out to. Made from results
// alone.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "checker/results.hpp"
#include "render/sheet/model/sheet_options.hpp"
#include "render/text/title_fields.hpp"

namespace loomward::sheet {

enum class Side : std::uint8_t { left, right };
inline Side other(Side side) {
    return side == Side::left ? Side::right : Side::left;
}

// How a thing takes part in the layout.
enum class Form : std::uint8_t {
    symbol,   // two main pins in line, perhaps a coil under them
    box,      // named pins on both faces
    contact,  // one mated contact: a row of a connector
    bar,      // many landings in one column, drawn as one thick line
    point,    // one point with landings on both faces
    pennant,  // the cut end of a line: names where it goes on
};

enum class Symbol : std::uint8_t {
    none,
    pack,
    bms,
    fuse,
    breaker,
    contactor,
    relay,
    switch_,
    resistor,
    shunt,
    capacitor,
    diode,
    controller,
    converter,
    charger,
    inverter,
    motor,
    motor_two,
    lamp,
    load,
    frame,
    contact,
    dot,
};

// Which way current leaves: out of `plus`, back into `minus`.
enum class Pole : std::uint8_t { none, plus, minus };

struct Flag {
    int number = 0;
    Severity severity{};
    bool accepted = false;  // by somebody, with a reason
};

// What works a contact, as far as its label tells.
enum class Actuator : std::uint8_t { hand, push, key, struck };
// What a symbol shows besides its kind.
struct Shape {
    bool breaks = false;  // a contact that is closed at rest
    bool closed = false;  // as drawn: at rest, or in the mode the sheet is of
    Actuator actuator = Actuator::hand;
    bool pin_first = false;   // of a mated contact: the half named first has the pin
    bool plus_first = false;  // of a capacitor with poles
    bool resets_itself = false;
    bool phases = false;  // of a controller: it feeds a motor of three leads
};

struct Pin {
    std::string name;
    Side home = Side::left;  // where it would like to be
    bool coil = false;       // on the second row of a symbol
    Pole pole = Pole::none;  // of a source
    TerminalRole role = TerminalRole::own;
};

// A drawn thing: a part, one half of a converter, one contact of a connector, one way of a terminal block.
struct Element {
    PartId part;
    std::vector<PartId> also;  // ports that are the same point
    Form form = Form::box;
    Symbol symbol = Symbol::none;
    Shape shape;
    bool pole = false;  // one of several contacts that move together, as those of a connector do
    std::string name, rating, label;
    std::string title;    // what a viewer shows for it
    std::string bay;      // the location or assembly it belongs to; may be empty
    std::string heading;  // of a connector's topmost contact: its rating
    std::vector<Pin> pins;
    std::vector<std::pair<int, int>> conducts;  // pins that current may pass between
    std::vector<Flag> flags;
    double flag_room = 0;      // mm kept for them at least
    int on_bar = -1;           // a fuse in a block: the element of the block
    int seat_pin = 0;          // by which it stands on that bar
    bool left_of_bar = false;  // its other pin looks left
    int host = -1;             // bolted to it by `host_pin` and its own `own_pin`, and drawn touching it
    int host_pin = 0, own_pin = 0;
    int across = -1;          // of a guest bolted to its host with its other end too: the host's pin there
    bool looks_right = true;  // of a guest: what hangs on its other pin lies to the right
    int other_half = -1;      // of a converter that is cut
    bool input_half = false;
    int goes_on_at = -1;         // of a pennant: the element beyond the cut
    int goes_on_as = -1;         // of a pennant: the line that leads there, on the other side of the cut
    bool of_stub = false;        // of a pennant: of the line's rest, not of the line drawn in full
    bool off = false;            // none of its lines carries current in the mode the sheet is of
    bool dropped = false;        // not on this sheet
    bool main_source = false;    // pack, converter output
    bool backup_source = false;  // charger, inverter, controller: counts where nothing else feeds
    bool collects = false;       // a return bar the returns of plain loads run on to, at the right
    int strip = -1;
};

// What a thing stands on or touches, and is never parted from; below 0: nothing.
inline int carrier_of(const Element& element) {
    return element.on_bar >= 0 ? element.on_bar : element.host;
}

struct End {
    int element = -1;
    int pin = 0;
};

struct Line {
    WireId wire;  // invalid: bolted together, or one point by construction
    End from, to;
    double area_mm2 = 1;
    std::string name, text;  // "W1", "16 mm² RD 0.80 m"
    std::string title;
    Colour colour = Colour::none, second_colour = Colour::none;
    std::string guard;       // what the tag says: the devices that feed it; empty: none
    std::string all_guards;  // where the tag names the first of several: all of them, "F3, F4, F8"
    bool unguarded = false;
    bool short_lead = false;  // unguarded, and no longer than the policy allows
    bool electronic = false;
    bool off = false;       // no current in the mode the sheet is of
    bool dropped = false;   // not on this sheet
    bool touching = false;  // a joint whose two parts touch: drawn with them, it is no line
    double loading = -1;    // current over limit; below 0: not known
    std::string figure;     // in place of the gauge: "86 °C", what its conductor settles at; "12 of 20 A"
    bool beyond = false;    // above what it may be
    std::string ring;       // cable or bundle
    bool is_cable = false;
    bool bar_goes_on = false;  // from one piece of a long bar to the next
    bool stub = false;         // the rest of a line that was cut and is drawn in full elsewhere
    std::vector<Flag> flags;
    double flag_room = 0;  // mm kept for them at least
    // Set by `orient`.
    bool is_return = false;
    bool tail_is_from = true;  // current flows from `from` to `to`
    bool left_is_from = true;  // `from` is the left end
    bool current_known = false;
    bool collected = false;  // a return that runs on to a collecting bar
    bool is_wire() const { return wire.valid(); }
    bool is_labelled() const { return is_wire() || stub || !text.empty(); }
    const End& left() const { return left_is_from ? from : to; }
    const End& right() const { return left_is_from ? to : from; }
    const End& tail() const { return tail_is_from ? from : to; }
    const End& head() const { return tail_is_from ? to : from; }
    bool leftward() const { return current_known && left_is_from != tail_is_from; }
};

struct Strip {
    std::string caption;
    std::vector<int> elements, lines;  // source order
};

struct ListedFinding {
    int number = 0;
    Severity severity{};
    std::string mark;  // in place of a number: "F1"
    std::string text;  // "overloaded wire W7: 96 A; may carry 80 A here"
    bool accepted = false;
    int element = -1;  // where its flag stands; both -1: nowhere
    int line = -1;
};

struct SheetModel {
    std::string title, file;  // the file without its folders
    TitleFields fields;
    std::string mode;        // the one the sheet is of; empty: the worst of all
    std::string part_shown;  // what the sheet is limited to; empty: nothing
    bool shows_loading = true;
    bool shows_findings = true;
    bool shows_temperature = false, shows_currents = false;
    bool for_owner = false;
    bool withheld = false;                // from the owner: errors stand
    std::string surroundings;             // "ambient -5..40 degC, insulation PVC 90 degC"
    std::vector<std::string> part_names;  // by PartId: what data-part says
    std::vector<Element> elements;
    std::vector<Line> lines;
    std::vector<Strip> strips;
    std::vector<int> unwired;  // elements no wire leads to
    std::vector<ListedFinding> findings;
    // What to open before work, in order, and last what stays live then; without an element: nowhere on the
    // sheet. `before_work_on`: the controllers that it makes dead, "U1, U2".
    std::vector<ListedFinding> before_work;
    std::string before_work_on;
    std::string widest_square = "A0";  // room kept for references to other places: "A0", "9/A0", "99/A0"
    std::size_t errors = 0, warnings = 0, notes = 0, accepted = 0, wires = 0, wires_shown = 0;
    std::size_t modes = 0, modes_solved = 0, unknown_values = 0;
    std::size_t possible = 0, open = 0;  // of the errors and warnings; values that are asked for
};

SheetModel make_model(const Results& results, const SheetOptions& options = {});

// ---- the steps of it ---------------------------------------------------------------------------------

// Elements of every part; `place_of` gives each terminal its element and pin.
void add_elements(const Harness& harness, SheetModel& model, std::vector<End>& place_of);
Shape shape_of(const Harness& harness, PartId id);
// Contacts as they stand in a mode of the harness.
void set_contacts(const Harness& harness, const Mode& mode, SheetModel& model);
std::string rating_of(const Harness& harness, const Part& part);  // "100 A 80 V"
Symbol symbol_of(const Part& part);
// Marks the devices that stand on a bar, and makes bars of the points they are bolted to.
void seat_on_bars(const Harness& harness, const std::vector<End>& place_of, SheetModel& model);
// Wires, then joints and ties.
void add_lines(const Results& results, const std::vector<End>& place_of, SheetModel& model);
// For the owner of the machine: takes flags and gauges away; what switches it off and its fuses are listed in
// place of findings.
void suit_owner(const Results& results, SheetModel& model);
// Before work on what a pack feeds: what to open, in order, and what stays live then.
void tell_before_work(const Results& results, SheetModel& model);
// Drops what the options leave out, and writes the drops at a path.
void limit(const Results& results, const SheetOptions& options, SheetModel& model);
// Marks what carries no current in any moment of the results' modes.
void mark_off(const Results& results, SheetModel& model);
// The one pin of that role, or nothing where there are none or several.
const Pin* only_pin(const Element& element, TerminalRole role);
// A box that shows the contact of a relay that changes over.
bool shows_change_over(const Element& element);
// Which way every line is drawn (step 2 of the layout).
void orient(const Results& results, SheetModel& model);
// Puts every device that stands on a bar on the side its other lines come from.
void turn_on_bars(SheetModel& model);
// Parts bolted to each other become hosts and guests that are drawn touching; what is also bolted there moves
// to the host's pin.
void attach_guests(SheetModel& model);
// Components after cutting the converters, each beginning at its source.
void deal_strips(SheetModel& model);
// Writes the minus sign (U+2212) where a text has a hyphen for it: at terminals and before figures.
void set_minus_signs(SheetModel& model);
// Draws a bar, or a point, of more lines than stand one above the other on that paper as several bars, each
// joined to the next by a line that says so.
void part_long_bars(SheetModel& model, Paper paper);
// Parts a strip into bands that are strips of their own: `band_of` by element of the strip, rising from left
// to right. A line between bands stays whole at its left end and goes on as a stub; both cut ends get a
// pennant.
std::vector<Strip> cut_strip(SheetModel& model, const Strip& strip, const std::vector<int>& band_of);

}  // namespace loomward::sheet
