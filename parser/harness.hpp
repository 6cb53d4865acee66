// The harness as the text says it: parts, terminals, wires, surroundings, modes, with every name
// resolved, every assembly opened and every mode complete. This is all that the checker receives.
// No physics here: nothing is merged, solved or judged.
#pragma once
#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "parser/language/colours.hpp"
#include "parser/language/flows.hpp"
#include "parser/language/kinds.hpp"
#include "parser/language/quantity.hpp"
#include "parser/language/terminal_roles.hpp"
#include "parser/text/id.hpp"
#include "parser/text/source.hpp"

namespace loomward {

enum class ValueType : std::uint8_t { absent, quantity, count, word, text, colour, name };

// One value of an attribute. `text` is the word, name, colour or text (quotes removed, escapes
// resolved) and for a quantity the unit as typed.
struct Value {
    ValueType type = ValueType::absent;
    Dimension dimension = Dimension::none;
    Knowledge known = Knowledge::stated;
    double lo = 0;  // base unit; for a count both limits are the number
    double hi = 0;
    std::string_view text;
    Span where;

    Quantity quantity() const { return {lo, hi, dimension, known}; }
    bool present() const { return type != ValueType::absent; }
    // One past what an absent optional value of a tuple is: "breaks 120 A" has values {120 A, absent,
    // absent}.
};

// An attribute with its values in the order its shape gives (parser/language/kinds.hpp); optional places that
// were not written hold an absent value, so that a place always has the same index.
struct Attribute {
    Attr name{};
    Span where;
    std::uint32_t first = 0;  // into Harness::values
    std::uint32_t count = 0;
};

// A run of consecutive entries of one of the harness's vectors.
struct Slice {
    std::uint32_t first = 0;
    std::uint32_t count = 0;
};

struct Part {
    Kind kind{};
    std::string_view name;   // whole path: "T1.H1", "A1.17.H1"
    std::string_view label;  // the text after the name; may be empty
    std::string_view type;   // the part type it was fitted from; may be empty
    Span where;              // its name in the statement that fits it
    Slice attributes;        // into Harness::attributes; own and inherited, overrides applied
    Slice terminals;         // into Harness::terminals, in the order of the kind's table
    LocationId location;
    std::string_view mate;  // connector: name of the other half, as written ("P1")
    PartId holder;          // of a fuse: the fuse block it sits in; invalid: none
    PartId drives;          // of a bms: the contactor that it opens; invalid: none

    // What its attributes say of its terminals; the reader has found the terminals
    // (statements/named_terminals).
    Slice pins;             // into Harness::device_pins, in the order of the `pin` attributes
    Slice own_contacts;     // into Harness::own_contacts
    Slice positions;        // into Harness::positions, in the order of the `position` attributes
    Slice bridges;          // into Harness::bridges
    Slice spares;           // into Harness::named_terminals; of a contact both halves
    TerminalId precharges;  // the pin that a controller precharges through; invalid: none
};

// A place where a wire lands: "B1.+", "J1.3", "P1.3", "U1.key", "X3".
// A connector has its own half's terminals first (J1.1, J1.2, ...) and then the mate's (P1.1, P1.2, ...).
struct Terminal {
    PartId part;
    std::string_view name;  // within the part: "+", "1", "A1", "in"; the print, where `marks` renames it
    std::string_view path;  // as a user writes it: "T1.B1.+"; one-point parts: "X1"
    std::string_view table_name;  // the table's own where `marks` renamed it ("com"), else same as name
    TerminalRole role = TerminalRole::own;
    std::uint16_t number = 0;  // of a tap: cells below it; of a contact: its pole, 0 where there is one
    bool mate_half = false;
};

// A further pin of a controller, converter or device.
struct DevicePin {
    TerminalId terminal;
    PinPurpose purpose{};
    std::uint32_t line = 0;  // its attribute, into Harness::attribute_store
};

// A contact of a connector that is unlike the others, in both halves.
struct OwnContact {
    TerminalId terminal;     // in the half that is named first
    std::uint32_t line = 0;  // its attribute, into Harness::attribute_store
};

// A position of a selector.
struct SelectorPosition {
    std::string_view name;
    Slice joins;  // into Harness::named_terminals
};

struct Wire {
    std::string_view name;  // "W1", "T1.W1", "C1.red"
    Span where;
    TerminalId from;  // as the route walks
    TerminalId to;
    Quantity area;               // mm2, one conductor
    Quantity length;             // m; with all that it runs along
    bool awg = false;            // the size was written in AWG
    std::string_view size_text;  // as written: "16 mm2", "2/0 AWG"
    Colour colour = Colour::none;
    Colour second_colour = Colour::none;
    std::string_view insulation;  // family word; empty: harness default, else assumed (see insulation_known)
    double insulation_limit_degC = 70;
    Knowledge insulation_known = Knowledge::stated;
    bool aluminium = false;
    Knowledge material_known = Knowledge::assumed;
    std::uint16_t parallel = 1;
    CableId cable;
    BundleId bundles[2];          // at most two; unused ones are invalid
    Slice along;                  // into Harness::stretches_named, as written
    std::string_view along_text;  // "0.3 m, along R1 R2": what its length is made of; empty: one figure
    Slice attributes;             // the ones with no field here: ends, outer-diameter, note, order
};

// Two terminals bolted together: one joint of resistance `joint-resistance` by policy.
struct Joint {
    TerminalId a;
    TerminalId b;
    Span where;
};

// Two terminals that are one point by construction: a chained port, a port and what it stands for.
struct Tie {
    TerminalId a;
    TerminalId b;
};

struct Cable {
    std::string_view name;
    Span where;
    std::vector<WireId> cores;
    std::vector<std::string_view> unrouted;
    BundleId bundles[2];
};

struct Bundle {
    std::string_view name;
    std::string_view label;
    Span where;
    Slice attributes;
    LocationId location;
    std::vector<WireId> wires;  // in source order
};

struct Location {
    std::string_view name;
    Span where;
    Slice attributes;
};

// A way that wires run: its length is part of theirs. One of an assembly stands here once for all copies.
struct Stretch {
    std::string_view name;
    std::string_view label;
    Span where;
    Slice attributes;  // "(length)"
};

// ---- modes ------------------------------------------------------------------------------------------

enum class Posture : std::uint8_t {
    none,  // the part has no state
    open,
    closed,
    energised,
    released,
    on,
    off,
    mated,
    unmated,
    at_position
};
// Who says so: the mode's own line, the mode it is like, `others at rest`, or the language's default.
enum class StatedBy : std::uint8_t { line, inherited, rest, language };

// One step of a profile. `limit` stands for the part's own setting; an absent duration is a level that stays.
struct Level {
    Quantity amount;  // A, W; 0 where `limit`
    bool limit = false;
    std::optional<double> duration_s;
    std::optional<Quantity> time;  // as written, where it is a range, an estimate or not known
    Span where;
};

struct Profile {
    Flow flow{};
    std::vector<Level> levels;  // never empty
    bool repeating = false;
    Span where;
};

struct State {
    Posture posture = Posture::none;
    StatedBy stated_by = StatedBy::language;
    std::uint16_t position = 0;  // of a selector: index among its position attributes; of a location: states
    std::int32_t profile = -1;   // draws/returns/delivers: into Mode::profiles; -1: at rest or load default
    std::int32_t phase_profile = -1;
    Span where;  // the line, where there is one
};

struct Mode {
    std::string_view name;
    Span where;
    std::vector<State> states;      // by PartId
    std::vector<State> pin_states;  // by index of a driver pin in Harness::driver_pins
    // By LocationId: `position` is an index among its `state` attributes. Posture none: nobody says.
    std::vector<State> location_states;
    std::vector<Profile> profiles;
    ModeId after;        // entered from; invalid: nothing said
    double after_s = 0;  // how long that mode has lasted
    std::optional<Quantity> ambient;
    bool own = false;  // made by the program, because the text has no mode (parser/modes/own_modes)
    bool between = false;  // one of its own in which something is left at rest
};

// A finding the user has looked at and takes on themselves.
struct Acceptance {
    std::string_view rule;
    std::string_view on;  // path as written
    PartId part;          // whichever of these the path names; all invalid: the harness itself
    WireId wire;
    std::optional<TerminalId> terminal;
    BundleId bundle;
    ModeId mode;                    // invalid: in every mode
    std::optional<Quantity> up_to;  // as much of it as the finding may say
    std::string_view reason;
    Span where;
};

struct Harness {
    // What is done to it as a whole is compiled once, not in every file that knows it.
    Harness();
    ~Harness();
    Harness(const Harness&);
    Harness(Harness&&) noexcept;
    Harness& operator=(const Harness&);
    Harness& operator=(Harness&&) noexcept;

    std::string_view title;
    Span where;
    Slice attributes;  // of the harness statement
    Slice policy;      // of every policy statement, later ones replacing earlier ones

    std::vector<Part> parts;  // source order; copies of an assembly follow each other
    std::vector<Terminal> terminals;
    std::vector<Wire> wires;  // source order
    std::vector<Joint> joints;
    std::vector<Tie> ties;
    std::vector<Cable> cables;
    std::vector<Bundle> bundles;
    std::vector<Location> locations;
    std::vector<Stretch> stretches;
    std::vector<StretchId> stretches_named;  // by wires
    std::vector<Mode> modes;
    std::vector<Mode> modes_between;  // more of the program's own, for a check to choose from
    std::vector<TerminalId> driver_pins;  // low-side and high-side pins, which have a state of their own
    std::vector<DevicePin> device_pins;
    std::vector<OwnContact> own_contacts;
    std::vector<SelectorPosition> positions;
    std::vector<Slice> bridges;               // into named_terminals
    std::vector<TerminalId> named_terminals;  // by bridges, positions and spares
    std::vector<Acceptance> acceptances;
    std::vector<Attribute> attribute_store;
    std::vector<Value> value_store;

    std::shared_ptr<const Sources> sources;  // every string_view points into this or into `strings`
    std::shared_ptr<std::deque<std::string>> strings = std::make_shared<std::deque<std::string>>();

    // -- reading attributes; none of these applies a default ------------------------------------------
    std::span<const Attribute> attributes_of(Slice slice) const {
        return std::span(attribute_store).subspan(slice.first, slice.count);
    }
    std::span<const Value> values_of(const Attribute& attribute) const {
        return std::span(value_store).subspan(attribute.first, attribute.count);
    }
    // The first attribute of that name, or nullptr. Repeatable ones: walk attributes_of.
    const Attribute* find(Slice slice, Attr name) const {
        for (const Attribute& attribute : attributes_of(slice))
            if (attribute.name == name) return &attribute;
        return nullptr;
    }
    // Value `place` of that attribute, or an absent value.
    Value value(Slice slice, Attr name, std::size_t place = 0) const {
        const Attribute* found = find(slice, name);
        if (!found || place >= found->count) return {};
        return value_store[found->first + place];
    }

    const Part& part(PartId id) const { return parts[id.index()]; }
    const Wire& wire(WireId id) const { return wires[id.index()]; }
    const Terminal& terminal(TerminalId id) const { return terminals[id.index()]; }
    // The part's terminal of that role (and pole, or cells below a tap), or an invalid id.
    TerminalId terminal_of(PartId part, TerminalRole role, std::uint16_t number = 0) const;

    // -- what a part's attributes say of its terminals
    std::span<const DevicePin> pins_of(PartId id) const { return some(device_pins, part(id).pins); }
    std::span<const SelectorPosition> positions_of(PartId id) const {
        return some(positions, part(id).positions);
    }
    std::span<const Slice> bridges_of(PartId id) const { return some(bridges, part(id).bridges); }
    std::span<const TerminalId> spares_of(PartId id) const { return some(named_terminals, part(id).spares); }
    std::span<const TerminalId> joined(Slice bridge) const { return some(named_terminals, bridge); }
    // nullptr: it is no such pin, or contact.
    const DevicePin* pin_at(TerminalId terminal) const;
    const OwnContact* own_contact_at(TerminalId terminal) const;
    // What its line says; may be absent or unknown.
    const Value& voltage_of(const DevicePin& pin) const { return value_of(pin.line, 2); }
    const Value& current_of(const DevicePin& pin) const { return value_of(pin.line, 3); }
    const Value& current_of(const OwnContact& contact) const { return value_of(contact.line, 1); }
    const Value& area_of(const OwnContact& contact) const { return value_of(contact.line, 2); }

    // By path, as a user types it on the command line: "T1.H1", "W7", "B1.+". Slow; not for inner loops.
    std::optional<PartId> find_part(std::string_view path) const;
    std::optional<WireId> find_wire(std::string_view path) const;
    std::optional<TerminalId> find_terminal(std::string_view path) const;

  private:
    template <class T>
    static std::span<const T> some(const std::vector<T>& all, Slice slice) {
        return std::span(all).subspan(slice.first, slice.count);
    }
    const Value& value_of(std::uint32_t line, std::size_t place) const {
        return value_store[attribute_store[line].first + place];
    }
};

}  // namespace loomward
