#include "parser/kinds.hpp"

#include <algorithm>
#include <initializer_list>

namespace loomward {
namespace {

using Rows = std::vector<KindAttribute>;

constexpr KindAttribute required(Attr attribute) {
    return {attribute, true, {}, {}};
}
constexpr KindAttribute optional(Attr attribute, std::string_view value = {}, std::string_view source = {}) {
    return {attribute, false, value, source};
}

// No fixed value: the reader or the checker works it out, in these words; or what its absence leads to.
constexpr KindAttribute worked_out(Attr attribute, std::string_view how) {
    return {attribute, false, {}, how};
}

constexpr std::string_view no_source = "no source";
constexpr std::string_view a_finding = "missing-data where it matters";
constexpr std::string_view no_source_safe = "no source, safe side";

Rows joined(std::initializer_list<Rows> lists) {
    Rows all;
    for (const Rows& list : lists) all.insert(all.end(), list.begin(), list.end());
    return all;
}

// What every kind takes, and what the placed, the marked and the screwed ones take besides.
// (Functions, so that the table may be asked for while globals are still being made.)
Rows any() {
    return {optional("note"_attr), optional("order"_attr)};
}
Rows placed() {
    return joined({any(), {optional("at"_attr)}});
}
Rows marked() {
    return joined({placed(), {optional("marks"_attr), optional("spare"_attr)}});
}
Rows screwed() {
    return joined({marked(), {optional("torque"_attr)}});
}

Rows switching() {
    return {required("carries"_attr), required("breaks"_attr), worked_out("makes"_attr, a_finding),
            optional("resistance"_attr, "1 mohm", no_source)};
}
Rows coil() {
    return {required("coil"_attr),
            worked_out("coil-works"_attr, "85..110 % of the rated voltage, IEC 60947-4-1 (memory)"),
            worked_out("suppression"_attr, a_finding)};
}
Rows leads_in_a_lay() {
    return {
        worked_out("insulation"_attr, "that of the harness, else pvc 70 degC, the lowest of IEC 60364-5-52"),
        optional("material"_attr, "copper", no_source),
        worked_out("outer-diameter"_attr, "by its size (memory)"), optional("in"_attr)};
}

std::vector<AttributeGroup> own_band_or_family() {
    return {{"its family", {"curve"_attr}}, {"its own points", {"point"_attr}}};
}

std::vector<KindInfo> sources_and_devices() {
    return {
        {Kind::pack,
         "pack",
         "a pack",
         "cells behind a resistance",
         "+ - and tN for each tap",
         true,
         joined({{optional("cells"_attr), optional("cell-voltage"_attr), optional("cell-resistance"_attr),
                  optional("cell-capacity"_attr), optional("voltage"_attr), optional("resistance"_attr),
                  optional("capacity"_attr), required("discharge"_attr), required("charge"_attr),
                  optional("peak"_attr),
                  optional("link-resistance"_attr, "0 mohm",
                           "no source, safe only for the largest fault current"),
                  optional("aged-resistance"_attr, "150 %", no_source), optional("discharge-at"_attr),
                  optional("charge-at"_attr), optional("taps"_attr)},
                 screwed()}),
         {{"its cells", {"cells"_attr, "cell-voltage"_attr, "cell-resistance"_attr, "cell-capacity"_attr}},
          {"its terminals", {"voltage"_attr, "resistance"_attr, "capacity"_attr}}}},
        {Kind::bms,
         "bms",
         "a bms",
         "battery management: electronic protection in one pole of a pack",
         "low side: B- P- and C- where ports are separate; high side: B+ P+ and C+",
         true,
         joined({{required("side"_attr), required("ports"_attr), required("discharge"_attr),
                  required("charge"_attr), required("trips"_attr), required("resistance"_attr),
                  worked_out("charge-trips"_attr, a_finding), optional("standby"_attr, "0 A", no_source),
                  optional("discharge-at"_attr), optional("charge-at"_attr)},
                 screwed()}),
         {}},
        {Kind::fuse, "fuse", "a fuse", "opens for good at a current, along its band", "in out", true,
         joined({{required("(rated-current)"_attr), required("(operational-voltage)"_attr),
                  required("breaks"_attr), optional("curve"_attr), optional("point"_attr),
                  worked_out("resistance"_attr, "0.1 V / rated current, no source"), optional("melts"_attr),
                  optional("clears"_attr), optional("rated-at"_attr, "23 degC", "ISO 8820-1 (memory)"),
                  optional("holder"_attr)},
                 screwed()}),
         own_band_or_family()},
        {Kind::breaker, "breaker", "a breaker", "opens at a current and can be closed again", "in out", true,
         joined({{required("(rated-current)"_attr), required("(operational-voltage)"_attr),
                  required("breaks"_attr), optional("curve"_attr), optional("point"_attr),
                  worked_out("resistance"_attr, "0.1 V / rated current, no source"),
                  optional("rated-at"_attr, "30 degC", "IEC 60898-1 (memory)"),
                  optional("reset"_attr, "itself", no_source_safe)},
                 screwed()}),
         own_band_or_family()},
        {Kind::fuse_block,
         "fuse-block",
         "a fuse block",
         "holds the fuses that say 'holder'",
         "in where the feed is common",
         true,
         joined({{optional("(rated-voltage)"_attr), required("ways"_attr), required("feed"_attr),
                  required("carries"_attr), required("way-carries"_attr)},
                 screwed()}),
         {}},
    };
}

std::vector<KindInfo> contacts_and_joints() {
    return {
        {Kind::contactor,
         "contactor",
         "a contactor",
         "a power contact with a coil",
         "in out A1 A2",
         true,
         joined({switching(), coil(), {optional("polarised"_attr, "no", no_source)}, screwed()}),
         {}},
        {Kind::relay,
         "relay",
         "a relay",
         "contacts with a coil",
         "in out (no, nc) or com no nc (change-over), with several poles 1.in ...; A1 A2",
         true,
         joined({{required("contacts"_attr)}, switching(), coil(), screwed()}),
         {}},
        {Kind::switch_,
         "switch",
         "a switch",
         "a contact worked by hand",
         "in out, with several poles 1.in ...",
         true,
         joined({{required("(operational-voltage)"_attr)},
                 switching(),
                 {optional("poles"_attr, "1", "the usual"), optional("rest"_attr, "open", "the usual")},
                 screwed()}),
         {}},
        {Kind::selector,
         "selector",
         "a selector",
         "a switch with positions",
         "as its terminals say",
         true,
         joined(
             {{optional("(operational-voltage)"_attr), required("terminals"_attr), required("position"_attr)},
              switching(),
              screwed()}),
         {}},
        {Kind::connector,
         "connector",
         "a connector",
         "two halves that mate",
         "J1.n and, on its mate, P1.n",
         true,
         joined({{required("(rated-voltage)"_attr), required("contacts"_attr), required("carries"_attr),
                  required("half"_attr), required("mate"_attr), required("takes"_attr),
                  worked_out("contact-resistance"_attr, "1 mohm up to 10 A, 0.5 mohm above, no source"),
                  required("rated-at"_attr), required("limit"_attr),
                  optional("breaks"_attr, "none", "IEC 61984 (memory)"), optional("contact"_attr),
                  optional("spare"_attr)},
                 placed(),
                 {optional("marks"_attr)}}),
         {}},
        {Kind::terminal_block,
         "terminal-block",
         "a terminal block",
         "ways that wires are clamped in",
         "X1.n",
         true,
         joined({{required("(rated-voltage)"_attr), required("ways"_attr), required("carries"_attr),
                  required("takes"_attr), optional("bridge"_attr)},
                 screwed()}),
         {}},
        {Kind::splice,
         "splice",
         "a splice",
         "wires joined for good",
         "its name",
         true,
         joined({{worked_out("method"_attr, a_finding), optional("carries"_attr),
                  optional("resistance"_attr, "0.1 mohm", no_source)},
                 placed()}),
         {}},
        {Kind::stud,
         "stud",
         "a stud",
         "wires bolted together",
         "its name",
         true,
         joined({{optional("carries"_attr), optional("resistance"_attr, "0.1 mohm", no_source)},
                 placed(),
                 {optional("torque"_attr)}}),
         {}},
        {Kind::busbar,
         "busbar",
         "a busbar",
         "a bar with studs",
         "X1.n",
         true,
         joined({{required("studs"_attr), required("carries"_attr),
                  optional("resistance"_attr, "0.1 mohm", no_source)},
                 screwed()}),
         {}},
        {Kind::frame,
         "frame",
         "a frame",
         "metal of the vehicle",
         "its name",
         true,
         joined({{required("serves"_attr)}, placed(), {optional("torque"_attr)}}),
         {}},
        {Kind::port,
         "port",
         "a port",
         "where an assembly is wired from outside",
         "its name",
         true,
         placed(),
         {}},
    };
}

std::vector<KindInfo> loads_and_converters() {
    return {
        {Kind::shunt,
         "shunt",
         "a shunt",
         "a resistance for measuring current",
         "in out",
         true,
         joined({{required("(rated-current)"_attr), required("drop"_attr)}, screwed()}),
         {}},
        {Kind::resistor,
         "resistor",
         "a resistor",
         "a resistance",
         "in out",
         true,
         joined(
             {{required("(resistance)"_attr), required("(power)"_attr), worked_out("pulse"_attr, a_finding)},
              screwed()}),
         {}},
        {Kind::capacitor,
         "capacitor",
         "a capacitor",
         "a capacitance",
         "+ -",
         true,
         joined({{required("(capacitance)"_attr), required("(rated-voltage)"_attr), optional("bleed"_attr)},
                 screwed()}),
         {}},
        {Kind::diode,
         "diode",
         "a diode",
         "passes current one way, from A to K",
         "A K",
         true,
         joined({{required("(rated-current)"_attr), required("(rated-voltage)"_attr), required("drop"_attr)},
                 screwed()}),
         {}},
        {Kind::controller,
         "controller",
         "a controller",
         "a motor controller with its settings",
         "+ -, U V W or M+ M-, and its pins",
         true,
         joined({{required("input"_attr), required("capacitance"_attr), required("supply-limit"_attr),
                  required("regen"_attr), worked_out("phase-peak"_attr, a_finding),
                  optional("phase-limit"_attr, "100 % of phase-peak", "the highest setting"),
                  optional("phases"_attr, "3", "the usual"), optional("standby"_attr, "0 A", no_source),
                  optional("supply-at"_attr), optional("precharges"_attr), optional("pin"_attr)},
                 screwed()}),
         {}},
        {Kind::motor,
         "motor",
         "a motor",
         "the end of the phase leads",
         "U V W, or M+ M- with 2 leads",
         true,
         joined({{required("leads"_attr), required("carries"_attr)}, screwed()}),
         {}},
        {Kind::converter,
         "converter",
         "a converter",
         "turns one direct voltage into another",
         "in+ in- out+ out- and its pins",
         true,
         joined({{required("input"_attr), required("output"_attr), required("efficiency"_attr),
                  required("negative"_attr),
                  worked_out("reverse"_attr,
                             "passes where negative is common, else blocked, no source, safe side"),
                  worked_out("short-circuit"_attr, "the largest output current, no source"),
                  worked_out("capacitance"_attr, a_finding), optional("standby"_attr, "0 A", no_source),
                  optional("pin"_attr)},
                 screwed()}),
         {}},
        {Kind::charger,
         "charger",
         "a charger",
         "a limited source; also an alternator",
         "+ -",
         true,
         joined({{required("output"_attr), optional("reverse"_attr, "passes", no_source_safe),
                  worked_out("short-circuit"_attr, "the largest output current, no source")},
                 screwed()}),
         {}},
        {Kind::load,
         "load",
         "a load",
         "draws whenever it has voltage",
         "+ -",
         true,
         joined({{required("(rated-voltage)"_attr), optional("(power)"_attr), optional("(current)"_attr),
                  optional("(resistance)"_attr),
                  worked_out("acts-as"_attr,
                             "a current as current, a resistance as resistor, a power as whichever is worse"),
                  optional("works"_attr), optional("inrush"_attr), optional("stall"_attr)},
                 screwed()}),
         {{"its power", {"(power)"_attr}},
          {"its current", {"(current)"_attr}},
          {"its resistance", {"(resistance)"_attr}}}},
        {Kind::device,
         "device",
         "a device",
         "anything known by its pins",
         "its pins",
         true,
         joined({{required("pin"_attr)}, placed(), {optional("spare"_attr)}}),
         {}},
    };
}

std::vector<KindInfo> wires_and_surroundings() {
    return {
        {Kind::wire,
         "wire",
         "a wire",
         "in a route, between two places",
         "",
         false,
         joined({{required("(area)"_attr), required("(length)"_attr), optional("(colour)"_attr)},
                 leads_in_a_lay(),
                 {optional("parallel"_attr, "1", "the usual"), optional("ends"_attr)},
                 any()}),
         {}},
        {Kind::cable,
         "cable",
         "a cable",
         "several cores in one sheath, routed as (C1.red)",
         "its cores",
         false,
         joined({{required("cores"_attr), required("(area)"_attr), required("(length)"_attr),
                  optional("core"_attr)},
                 leads_in_a_lay(),
                 {optional("ends"_attr)},
                 any()}),
         {}},
        {Kind::assembly,
         "assembly",
         "an assembly",
         "statements that are built as one thing",
         "its ports",
         false,
         joined({{optional("repeat"_attr, "1", "the usual"), optional("chain"_attr)}, any()}),
         {}},
        {Kind::bundle,
         "bundle",
         "a bundle",
         "wires that lie together; they say so with 'in'",
         "",
         false,
         joined(
             {{required("wrap"_attr), required("length"_attr),
               worked_out("ambient"_attr, "that of its location, else of the harness"), optional("at"_attr)},
              any()}),
         {}},
        {Kind::location,
         "location",
         "a location",
         "a place with its surroundings",
         "",
         false,
         joined({{required("ambient"_attr), optional("air"_attr, "still", no_source_safe)}, any()}),
         {}},
        {Kind::harness,
         "harness",
         "a harness",
         "the whole",
         "",
         false,
         joined({{required("ambient"_attr), optional("revision"_attr), optional("insulation"_attr)}, any()}),
         {}},
        {Kind::policy,
         "policy",
         "a policy",
         "limits that are judged by",
         "",
         false,
         {optional("voltage-drop"_attr, "3 %", "ABYC E-11 11.14.2.6"),
          optional("continuous-fuse-load"_attr, "80 %", "NFPA 70 210.20(A)"),
          optional("unprotected-length"_attr, "178 mm", "33 CFR 183.455(b)"),
          optional("live-when-unmated-above"_attr, "60 V", "ISO 6469-3 (memory)"),
          optional("estimate-spread"_attr, "25 %", no_source),
          optional("precharge-to"_attr, "95 %", no_source),
          optional("joint-resistance"_attr, "0.1 mohm", no_source), optional("hottest-conductor"_attr),
          optional("signal-current"_attr, "100 mA", no_source), optional("note"_attr)},
         {}},
    };
}

std::vector<KindInfo> make_table() {
    std::vector<KindInfo> table;
    for (auto part :
         {sources_and_devices(), contacts_and_joints(), loads_and_converters(), wires_and_surroundings()})
        table.insert(table.end(), part.begin(), part.end());
    std::sort(table.begin(), table.end(),
              [](const KindInfo& a, const KindInfo& b) { return a.kind < b.kind; });
    return table;
}

const std::vector<KindInfo>& table() {
    static const std::vector<KindInfo> rows = make_table();
    return rows;
}

// Statement words that are not kinds; the last three are reserved for a later edition.
constexpr auto other_words = std::to_array<std::string_view>(
    {"loom", "use", "part", "route", "mode", "accept", "variant", "change", "remove"});

}  // namespace

std::span<const KindInfo> kind_table() {
    return table();
}

const KindInfo& info(Kind kind) {
    return table()[static_cast<std::size_t>(kind)];
}

const KindAttribute* find_attribute(Kind kind, Attr attribute) {
    for (const KindAttribute& row : info(kind).attributes)
        if (row.attribute == attribute) return &row;
    return nullptr;
}

std::optional<Kind> find_kind(std::string_view word) {
    for (const KindInfo& row : table())
        if (row.word == word) return row.kind;
    return std::nullopt;
}

std::span<const std::string_view> statement_words() {
    static const std::vector<std::string_view> words = [] {
        std::vector<std::string_view> all(other_words.begin(), other_words.end());
        for (const KindInfo& row : table()) all.push_back(row.word);
        std::sort(all.begin(), all.end());
        return all;
    }();
    return words;
}

bool is_statement_word(std::string_view word) {
    const auto words = statement_words();
    return std::binary_search(words.begin(), words.end(), word);
}

}  // namespace loomward
