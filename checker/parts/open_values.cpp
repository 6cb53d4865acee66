#include "checker/parts/open_values.hpp"

#include <algorithm>
#include <span>
#include <utility>

namespace loomward {

using namespace literals;

namespace {

constexpr std::string_view print = "it stands on its print or in its data sheet";
constexpr std::string_view sheet = "its data sheet says it";
constexpr std::string_view millivolts = "measure the millivolts across it at a known current (four leads)";
constexpr std::string_view tape = "lay a string along it and measure that";
constexpr std::string_view strands =
    "it stands on the insulation; else count the strands, measure one, and add up pi d2 / 4";
constexpr std::string_view clamp = "measure it with a direct-current clamp while it works";
constexpr std::string_view clock = "look at a clock while it works, on the longest day that you know of";
constexpr std::string_view setting = "read the setting with the device's own program";
constexpr std::string_view thermometer =
    "leave a thermometer there on the hottest day, with everything running";
constexpr std::string_view ask = "ask whoever made it, or look inside";
constexpr std::string_view decide = "decide on it: it is a limit of your own";
constexpr std::string_view half_an_hour = "run it at a known current for half an hour and note the rise";
constexpr std::string_view heat_rules =
    "overheated-box, controller-gives-less, cuts-out, overheated-motor, pack-too-hot, and all that is rated "
    "at the ambient of "
    "its place";
constexpr std::string_view all_currents = "every current, voltage and short circuit that hangs on it";

// What hangs on an attribute. An attribute without a row may hide anything: an error.
struct Row {
    Attr attribute;
    Hides hides;
    std::string_view judges;
    std::string_view find_out;
    Reach reach = {};
};

constexpr Reach anything{.currents = true, .guards = true, .any_rule = true};
constexpr Reach currents{.currents = true}, guards{.guards = true},
    currents_and_guards{.currents = true, .guards = true}, everywhere{.everywhere = true};

constexpr Row rows[] = {
    {"(rated-current)"_attr, Hides::error,
     "overloaded-fuse, oversized-fuse, unprotected-wire, rated-below-guard, pack-guard, slow-clearing, "
     "not-selective, nuisance-trip",
     print, guards},
    {"(rated-voltage)"_attr, Hides::error, "contact-voltage, wrong-rail, what it draws", print, currents},
    {"(operational-voltage)"_attr, Hides::error, "fuse-voltage, contact-voltage", print},
    {"(resistance)"_attr, Hides::error, all_currents, millivolts, currents},
    {"acts-as"_attr, Hides::error, "what it draws", sheet, currents},
    {"(power)"_attr, Hides::error,
     "what it draws, overloaded-resistor, rated-below-guard, setting-too-high of an inverter", print,
     currents_and_guards},
    {"(current)"_attr, Hides::error, "what it draws: wires, contacts and fuses before it; rated-below-guard",
     clamp, currents_and_guards},
    {"(capacitance)"_attr, Hides::error, "no-precharge, slow-precharge, charged-after-opening", print},
    {"(area)"_attr, Hides::error,
     "overloaded-wire, oversized-fuse, slow-clearing, voltage-drop, size-mismatch", strands},
    {"(length)"_attr, Hides::error, "voltage-drop, slow-clearing, unprotected-wire", tape},
    {"torque"_attr, Hides::note, "nothing that is checked; the papers print it", sheet},
    {"cell-voltage"_attr, Hides::error, all_currents, sheet, currents},
    {"cell-resistance"_attr, Hides::error, all_currents, sheet, currents},
    {"cell-capacity"_attr, Hides::warning, "how long anything lasts", sheet},
    {"voltage"_attr, Hides::error, all_currents, print, currents},
    {"resistance"_attr, Hides::error, "voltage-drop, slow-clearing, fuse-breaking-capacity, overheated-motor",
     millivolts},
    {"capacity"_attr, Hides::warning, "how long anything lasts", print},
    {"discharge"_attr, Hides::error, "overdrawn-pack, overdrawn-bms, pack-guard", sheet, guards},
    {"charge"_attr, Hides::error, "overdrawn-pack, charge-voltage, joined-packs", sheet},
    {"peak"_attr, Hides::error, "overdrawn-pack", sheet},
    {"link-resistance"_attr, Hides::error, "slow-clearing, insufficient-fault-current", millivolts},
    {"aged-resistance"_attr, Hides::error, "slow-clearing, insufficient-fault-current, undervoltage", sheet},
    {"discharge-at"_attr, Hides::error, "limit-at-temperature", sheet},
    {"charge-at"_attr, Hides::error, "limit-at-temperature", sheet},
    {"mass"_attr, Hides::error, "pack-too-hot", "weigh one cell, times their count"},
    {"trips"_attr, Hides::error,
     "electronics-first, slow-clearing, electronic-only, oversized-fuse, rated-below-guard, pack-guard",
     setting, guards},
    {"charge-trips"_attr, Hides::error, "overdrawn-bms", setting},
    {"breaks"_attr, Hides::error, "fuse-breaking-capacity, breaking-current", print},
    {"curve"_attr, Hides::error,
     "slow-clearing, oversized-fuse, rated-below-guard, pack-guard, not-selective, nuisance-trip", sheet,
     guards},
    {"point"_attr, Hides::error, "slow-clearing, oversized-fuse, not-selective, nuisance-trip", sheet},
    {"melts"_attr, Hides::error, "nuisance-trip, not-selective", sheet},
    {"clears"_attr, Hides::error, "slow-clearing, short-time-withstand", sheet},
    {"instantaneous"_attr, Hides::error, "slow-clearing, nuisance-trip", print},
    {"carries"_attr, Hides::error, "overloaded-contact, oversized-fuse, setting-too-high", print},
    {"way-carries"_attr, Hides::error, "overloaded-contact, overloaded-fuse", print},
    {"takes"_attr, Hides::error, "size-mismatch", print},
    {"makes"_attr, Hides::error, "making-current, no-precharge", sheet},
    {"withstands"_attr, Hides::error, "short-time-withstand", sheet},
    {"coil"_attr, Hides::error, "coil-voltage, held-coil, what the coil draws", print, currents},
    {"nominal"_attr, Hides::note, "nothing by itself: how far it is good is its rated voltage", print},
    {"opening-time"_attr, Hides::error, "slow-clearing, electronics-first", sheet},
    {"coil-works"_attr, Hides::error, "coil-voltage", sheet},
    {"suppression"_attr, Hides::warning, "coil-suppression", ask},
    {"half"_attr, Hides::error, "live-when-unmated, mixed-halves", "look at it: pins or sockets"},
    {"method"_attr, Hides::warning, "whether the joint lasts", "look at it"},
    {"contact-resistance"_attr, Hides::error, "voltage-drop, slow-clearing", millivolts},
    {"contact"_attr, Hides::error, "overloaded-contact, size-mismatch", sheet},
    {"limit"_attr, Hides::error, "overloaded-contact, overheated-motor", sheet},
    {"rated-at"_attr, Hides::error, "overloaded-contact, overloaded-fuse", sheet},
    {"drop"_attr, Hides::error, "voltage-drop, slow-clearing", print},
    {"pulse"_attr, Hides::error, "precharge-resistor", sheet},
    {"bleed"_attr, Hides::error, "charged-after-opening", print},
    {"input"_attr, Hides::error,
     "input-voltage, undervoltage, cannot-be-fed, rated-below-guard, setting-too-high of an inverter", print,
     guards},
    {"supply-limit"_attr, Hides::error, "setting-too-high, rated-below-guard, and what it draws at its limit",
     setting, currents_and_guards},
    {"phase-peak"_attr, Hides::error, "setting-too-high, overloaded-motor, overloaded-wire", sheet},
    {"phase-limit"_attr, Hides::error, "setting-too-high, overloaded-motor, overloaded-wire", setting},
    {"regen"_attr, Hides::error,
     "what it returns: overdrawn-pack, oversized-fuse, rated-below-guard, slow-clearing", setting,
     currents_and_guards},
    {"supply-at"_attr, Hides::error, "limit-at-temperature", sheet},
    {"precharges"_attr, Hides::error, "no-precharge, slow-precharge", sheet},
    {"output"_attr, Hides::error,
     "what hangs on its output; charge-voltage, overloaded-converter, oversized-fuse, rated-below-guard",
     print, currents_and_guards},
    {"charges"_attr, Hides::error,
     "what it charges: charge-voltage, setting-too-high, oversized-fuse, rated-below-guard", print,
     currents_and_guards},
    {"open-circuit-voltage"_attr, Hides::error,
     "panel-voltage, contact-voltage, fuse-voltage, live-when-unmated", print},
    {"short-circuit-current"_attr, Hides::error, "panel-current, string-fuse, breaking-current", print},
    {"maximum-series-fuse"_attr, Hides::error, "string-fuse", print},
    {"panel-current"_attr, Hides::error, "panel-current", sheet},
    {"efficiency"_attr, Hides::error, "what it draws, overheated-motor", sheet, currents},
    {"reverse"_attr, Hides::error, "back-feed, no-precharge", ask},
    {"short-circuit"_attr, Hides::error,
     "slow-clearing, oversized-fuse, rated-below-guard, fuse-breaking-capacity", sheet, guards},
    {"capacitance"_attr, Hides::error, "no-precharge, slow-precharge, charged-after-opening", ask},
    {"standby"_attr, Hides::error, "no-precharge, and what it draws at rest", clamp, currents},
    {"works"_attr, Hides::error, "undervoltage, input-voltage", print},
    {"inrush"_attr, Hides::error, "nuisance-trip, making-current", sheet},
    {"stall"_attr, Hides::error, "nuisance-trip, what is burned when it is blocked", sheet, currents},
    {"pin"_attr, Hides::error, "overloaded-contact, signal-current, oversized-fuse, and what the pin draws",
     sheet, currents_and_guards},
    {"thermal-resistance"_attr, Hides::error, heat_rules, half_an_hour, everywhere},
    {"size"_attr, Hides::error, heat_rules, "measure the box", everywhere},
    {"wall"_attr, Hides::error, heat_rules, "look at it", everywhere},
    {"vents"_attr, Hides::error, heat_rules, "measure the holes: what is open of them", everywhere},
    {"losses"_attr, Hides::error, heat_rules, sheet, everywhere},
    {"mounting"_attr, Hides::error, "controller-gives-less, cuts-out", "look at it"},
    {"time-constant"_attr, Hides::error,
     "controller-gives-less, cuts-out, overheated-motor, overheated-box, and all that is rated at the "
     "ambient of its place",
     "warm it at a steady load: the time until 63 % of its rise are there", everywhere},
    {"rise"_attr, Hides::error, "controller-gives-less, cuts-out, overheated-motor, pack-too-hot",
     half_an_hour},
    {"gives-less-from"_attr, Hides::warning, "controller-gives-less", sheet},
    {"cuts-out-at"_attr, Hides::error, "cuts-out, pack-too-hot", sheet},
    {"highest-ambient"_attr, Hides::error, "overheated-box", sheet},
    {"insulation"_attr, Hides::error,
     "overloaded-wire, oversized-fuse, unprotected-wire, slow-clearing, hot-place, overheated-wire, "
     "insulation-mixed",
     "it stands on the insulation, or with whoever sold it"},
    {"material"_attr, Hides::error, "overloaded-wire, voltage-drop, size-mismatch",
     "scrape a strand: copper is red all through"},
    {"wrap"_attr, Hides::error, "overloaded-wire, oversized-fuse", "look at it"},
    {"length"_attr, Hides::error, "overloaded-wire", tape},
    {"ambient"_attr, Hides::error,
     "overloaded-wire, oversized-fuse, overloaded-contact, overloaded-fuse, overloaded-diode, "
     "overloaded-shunt, overloaded-motor, overloaded-resistor, overloaded-converter, overloaded-pin, "
     "limit-at-temperature, slow-clearing, nuisance-trip, voltage-drop, undervoltage, setting-too-high, "
     "rated-below-guard",
     thermometer, everywhere},
    {"voltage-drop"_attr, Hides::error, "voltage-drop", decide},
    {"continuous-fuse-load"_attr, Hides::error, "overloaded-fuse", decide},
    {"unprotected-length"_attr, Hides::error, "unprotected-wire", decide},
    {"live-when-unmated-above"_attr, Hides::error, "live-when-unmated", decide},
    {"precharge-to"_attr, Hides::error, "no-precharge, slow-precharge", decide},
    {"joint-resistance"_attr, Hides::error, "voltage-drop, slow-clearing", millivolts},
    {"hottest-conductor"_attr, Hides::error, "overloaded-wire, oversized-fuse", decide},
    {"signal-current"_attr, Hides::error, "signal-current", decide},
};

// What hangs on those of a protector, where that is more than of other kinds: whether it opens at all.
constexpr std::string_view held_by_protector =
    "fuse-breaking-capacity, electronics-first, electronic-only, slow-clearing, insufficient-fault-current, "
    "oversized-fuse, unprotected-wire, rated-below-guard, pack-guard";
constexpr std::string_view tripped_protector =
    "overloaded-protector, nuisance-trip, electronics-first, electronic-only, slow-clearing, "
    "insufficient-fault-current, oversized-fuse, unprotected-wire, rated-below-guard, pack-guard";
constexpr Row protector_rows[] = {
    {"(rated-current)"_attr, Hides::error, "overloaded-protector, setting-too-high", print},
    {"trips"_attr, Hides::error, tripped_protector, setting, guards},
    {"breaks"_attr, Hides::error, held_by_protector, print, guards},
};

std::string plain_name(Attr attribute) {
    std::string name(info(attribute).name);
    return name.front() == '(' ? name.substr(1, name.size() - 2) : name;
}

// "about 28 mohm, taken as 21..35 mohm"
std::string as_written(const Quantity& quantity) {
    return "about " + to_text((quantity.lo + quantity.hi) / 2, quantity.dimension) + ", taken as " +
           to_text({quantity.lo, quantity.hi, quantity.dimension, Knowledge::stated});
}

class Collector {
  public:
    explicit Collector(const Harness& harness) : harness_(harness) {}

    std::vector<OpenValue> collect() {
        take_harness();
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            const Part& part = harness_.parts[i];
            OpenValue begun = begin(info(part.kind).word, part.name, part.where);
            begun.part = PartId(i);
            take(part.attributes, begun);
        }
        for (std::size_t i = 0; i < harness_.wires.size(); ++i) take_wire(WireId(i));
        std::stable_sort(found_.begin(), found_.end(),
                         [](const OpenValue& a, const OpenValue& b) { return a.where < b.where; });
        return std::move(found_);
    }

  private:
    static OpenValue begin(std::string_view word, std::string_view name, Span where) {
        OpenValue value;
        value.subject = name;
        value.of = std::string(word) + (name.empty() ? "" : " ") + std::string(name);
        value.where = where;
        return value;
    }

    void take_harness() {
        take(harness_.attributes, begin("the harness", {}, harness_.where));
        take(harness_.policy, begin("the policy", {}, harness_.where));
        for (const Location& each : harness_.locations)
            take(each.attributes, begin("location", each.name, each.where));
        for (const Bundle& bundle : harness_.bundles) {
            OpenValue begun = begin("bundle", bundle.name, bundle.where);
            for (const WireId wire : bundle.wires) begun.wires.emplace_back(harness_.wire(wire).name);
            take(bundle.attributes, begun);
        }
        take_stretches();
        for (std::size_t i = 0; i < harness_.modes.size(); ++i) {
            const Mode& mode = harness_.modes[i];
            for (std::size_t part = 0; part < mode.states.size(); ++part) {
                take_levels(ModeId(i), PartId(part), mode.states[part].profile);
                take_levels(ModeId(i), PartId(part), mode.states[part].phase_profile);
            }
            if (!mode.ambient) continue;
            OpenValue begun = begin("mode", mode.name, mode.where);
            begun.mode = ModeId(i);
            add(begun, "ambient"_attr, *mode.ambient);
        }
    }

    OpenValue& begin_in(ModeId id, PartId part, Span where) {
        const Part& of = harness_.part(part);
        OpenValue& value = found_.emplace_back(begin(info(of.kind).word, of.name, where));
        value.of += " in mode " + std::string(harness_.modes[id.index()].name);
        value.part = part;
        value.mode = id;
        return value;
    }

    // One line a profile: what it draws in that mode.
    void take_levels(ModeId id, PartId part, std::int32_t number) {
        if (number < 0) return;
        const Mode& mode = harness_.modes[id.index()];
        const Profile& profile = mode.profiles[static_cast<std::size_t>(number)];
        const auto open = std::find_if(profile.levels.begin(), profile.levels.end(), [](const Level& level) {
            return !level.limit && (level.amount.known == Knowledge::about || !level.amount.is_known());
        });
        take_times(id, part, profile);
        if (open == profile.levels.end()) return;
        OpenValue& value = begin_in(id, part, open->where);
        value.unknown = !open->amount.is_known();
        if (!value.unknown) value.written = as_written(open->amount);
        value.name = flow_word(profile.flow);
        value.meaning = "what it does in the mode";
        value.judges = "every wire, contact and device on its way";
        value.find_out = clamp;
    }

    // How long the levels of a profile last, where nobody knows or somebody has guessed: one line too.
    void take_times(ModeId id, PartId part, const Profile& profile) {
        const auto open = std::find_if(profile.levels.begin(), profile.levels.end(), [](const Level& level) {
            return level.time && (!level.time->is_known() || level.time->known == Knowledge::about);
        });
        if (open == profile.levels.end()) return;
        OpenValue& value = begin_in(id, part, open->where);
        value.unknown = !open->time->is_known();
        if (!value.unknown) value.written = as_written(*open->time);
        value.is_time = true;
        value.name = "time of a level";
        value.meaning = "taken at its worse end: as long as it may last, or as short; a day at the most";
        value.judges = "what every wire, contact and device on its way gets for so long";
        value.find_out = clock;
    }

    void take_wire(WireId id) {
        const Wire& wire = harness_.wire(id);
        OpenValue begun = begin("wire", wire.name, wire.where);
        begun.wire = id;
        add(begun, "(area)"_attr, wire.area);
        if (!open_by_stretch(wire)) add(begun, "(length)"_attr, wire.length);
        if (wire.material_known == Knowledge::unknown) add_unknown(begun, "material"_attr);
        if (wire.insulation_known == Knowledge::unknown) add_unknown(begun, "insulation"_attr);
        take(wire.attributes, begun);
    }

    std::span<const StretchId> along(const Wire& wire) const {
        return std::span(harness_.stretches_named).subspan(wire.along.first, wire.along.count);
    }
    // Whether its length is open because that of a stretch it runs along is: told once, of the stretch.
    bool open_by_stretch(const Wire& wire) const {
        const auto ids = along(wire);
        return std::any_of(ids.begin(), ids.end(), [&](StretchId id) {
            const Value length = harness_.value(harness_.stretches[id.index()].attributes, "(length)"_attr);
            return length.known == wire.length.known;
        });
    }
    void take_stretches() {
        std::vector<std::vector<std::string>> wires(harness_.stretches.size());
        for (const Wire& wire : harness_.wires)
            for (const StretchId id : along(wire)) wires[id.index()].emplace_back(wire.name);
        for (std::size_t i = 0; i < wires.size(); ++i) {
            const Stretch& stretch = harness_.stretches[i];
            OpenValue begun = begin("stretch", stretch.name, stretch.where);
            begun.wires = std::move(wires[i]);
            take(stretch.attributes, begun);
        }
    }

    void take(Slice slice, const OpenValue& begun) {
        for (const Attribute& attribute : harness_.attributes_of(slice)) {
            OpenValue here = begun;
            if (attribute.where.valid()) here.where = attribute.where;
            if (attribute.name == "(length)"_attr && begun.wire) continue;  // in a field of the wire
            if (attribute.name == "doubt"_attr) {
                add_doubt(here, attribute);
                continue;
            }
            // One line an attribute and sort of openness.
            bool unknown = false, estimate = false;
            for (const Value& value : harness_.values_of(attribute)) {
                if (!value.present()) continue;
                if (value.known == Knowledge::unknown && !std::exchange(unknown, true))
                    add_unknown(here, attribute.name);
                else if (value.type == ValueType::quantity && value.known == Knowledge::about &&
                         !std::exchange(estimate, true))
                    add(here, attribute.name, value.quantity());
            }
        }
    }

    void add(const OpenValue& begun, Attr attribute, const Quantity& quantity) {
        if (!quantity.is_known()) return add_unknown(begun, attribute);
        if (quantity.known != Knowledge::about) return;
        OpenValue& value = found_.emplace_back(begun);
        value.written = as_written(quantity);
        describe(value, attribute);
    }
    // What contradicts itself is as open as a guess.
    void add_doubt(const OpenValue& begun, const Attribute& attribute) {
        OpenValue& value = found_.emplace_back(begun);
        describe(value, attribute.name);
        value.written = harness_.values_of(attribute).front().text;
        value.hides = Hides::note;
        value.judges = "what the doubt is about";
        value.find_out = "look at the part itself, or ask whoever wrote it down";
        value.reach = {};
    }
    void add_unknown(const OpenValue& begun, Attr attribute) {
        OpenValue& value = found_.emplace_back(begun);
        value.unknown = true;
        describe(value, attribute);
    }
    void describe(OpenValue& value, Attr attribute) const {
        value.attribute = attribute;
        value.name = plain_name(attribute);
        value.meaning = info(attribute).meaning;
        const auto find = [&](std::span<const Row> all) -> const Row* {
            const auto row = std::find_if(all.begin(), all.end(),
                                          [&](const Row& each) { return each.attribute == attribute; });
            return row == all.end() ? nullptr : &*row;
        };
        const bool protector = value.part && harness_.part(value.part).kind == Kind::protector;
        const Row* row = protector ? find(protector_rows) : nullptr;
        if (!row) row = find(rows);
        const bool known = row != nullptr;
        value.hides = known ? row->hides : Hides::error;
        value.judges = known ? row->judges : "what depends on it";
        value.find_out = known ? row->find_out : print;
        value.reach = known ? row->reach : anything;
    }

    const Harness& harness_;
    std::vector<OpenValue> found_;
};

}  // namespace

bool judges_rule(const OpenValue& value, std::string_view rule) {
    if (value.reach.any_rule) return true;
    for (std::size_t at = value.judges.find(rule); at != std::string_view::npos;
         at = value.judges.find(rule, at + 1)) {
        const std::size_t end = at + rule.size();
        const bool begins = at == 0 || value.judges[at - 1] == ' ';
        if (begins && (end == value.judges.size() || value.judges.find_first_of(",; ", end) == end))
            return true;
    }
    return false;
}

std::vector<OpenValue> open_values(const Harness& harness) {
    return Collector(harness).collect();
}

}  // namespace loomward
