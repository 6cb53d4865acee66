#include "checker/parts/open_value_rows.hpp"

#include <algorithm>
#include <span>

namespace loomward {

using namespace literals;

namespace {

constexpr std::string_view sheet = "its data sheet says it";
constexpr std::string_view millivolts = "measure the millivolts across it at a known current (four leads)";
constexpr std::string_view tape = "lay a string along it and measure that";
constexpr std::string_view strands =
    "it stands on the insulation; else count the strands, measure one, and add up pi d2 / 4";
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

constexpr Reach currents{.currents = true}, guards{.guards = true},
    currents_and_guards{.currents = true, .guards = true}, everywhere{.everywhere = true},
    forbids_only{.forbids_only = true};

constexpr OpenValueRow rows[] = {
    {"(rated-current)"_attr, Hides::error,
     "overloaded-fuse, oversized-fuse, unprotected-wire, rated-below-guard, pack-guard, slow-clearing, "
     "not-selective, nuisance-trip, freewheel-diode",
     printed_on_it, guards},
    {"(rated-voltage)"_attr, Hides::error, "contact-voltage, wrong-rail, what it draws", printed_on_it,
     currents},
    {"(operational-voltage)"_attr, Hides::error, "fuse-voltage, contact-voltage", printed_on_it},
    {"(resistance)"_attr, Hides::error, all_currents, millivolts, currents},
    {"acts-as"_attr, Hides::error, "what it draws", sheet, currents},
    {"(power)"_attr, Hides::error,
     "what it draws, overloaded-resistor, rated-below-guard, setting-too-high of an inverter", printed_on_it,
     currents_and_guards},
    {"(current)"_attr, Hides::error, "what it draws: wires, contacts and fuses before it; rated-below-guard",
     with_a_clamp, currents_and_guards},
    {"(capacitance)"_attr, Hides::error, "no-precharge, slow-precharge, charged-after-opening",
     printed_on_it},
    {"(area)"_attr, Hides::error,
     "overloaded-wire, oversized-fuse, slow-clearing, voltage-drop, size-mismatch, setting-too-high, "
     "settings-together",
     strands},
    {"(length)"_attr, Hides::error, "voltage-drop, slow-clearing, unprotected-wire", tape},
    {"torque"_attr, Hides::note, "nothing that is checked; the papers print it", sheet},
    {"cell-voltage"_attr, Hides::error, all_currents, sheet, currents},
    {"cell-resistance"_attr, Hides::error, all_currents, sheet, currents},
    {"cell-capacity"_attr, Hides::warning, "how long anything lasts, unlike-packs", sheet},
    {"voltage"_attr, Hides::error, all_currents, printed_on_it, currents},
    {"resistance"_attr, Hides::error, "voltage-drop, slow-clearing, fuse-breaking-capacity, overheated-motor",
     millivolts},
    {"capacity"_attr, Hides::warning, "how long anything lasts, unlike-packs", printed_on_it},
    {"discharge"_attr, Hides::error, "overdrawn-pack, overdrawn-bms, pack-guard", sheet, guards},
    {"charge"_attr, Hides::error, "overdrawn-pack, overdrawn-bms, joined-packs, settings-together", sheet},
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
    {"breaks"_attr, Hides::error, "fuse-breaking-capacity, breaking-current", printed_on_it},
    {"curve"_attr, Hides::error,
     "slow-clearing, oversized-fuse, rated-below-guard, pack-guard, not-selective, nuisance-trip", sheet,
     guards},
    {"point"_attr, Hides::error, "slow-clearing, oversized-fuse, not-selective, nuisance-trip", sheet},
    {"melts"_attr, Hides::error, "nuisance-trip, not-selective", sheet},
    {"clears"_attr, Hides::error, "slow-clearing, short-time-withstand", sheet},
    {"instantaneous"_attr, Hides::error, "slow-clearing, nuisance-trip", printed_on_it},
    {"carries"_attr, Hides::error, "overloaded-contact, oversized-fuse, setting-too-high", printed_on_it,
     forbids_only},
    {"way-carries"_attr, Hides::error, "overloaded-contact, overloaded-fuse", printed_on_it, forbids_only},
    {"takes"_attr, Hides::error, "size-mismatch", printed_on_it, forbids_only},
    {"makes"_attr, Hides::error, "making-current, no-precharge", sheet},
    {"withstands"_attr, Hides::error, "short-time-withstand", sheet, forbids_only},
    {"coil"_attr, Hides::error, "coil-voltage, held-coil, what the coil draws", printed_on_it, currents},
    {"nominal"_attr, Hides::note, "nothing by itself: how far it is good is its rated voltage",
     printed_on_it},
    {"opening-time"_attr, Hides::error, "slow-clearing, electronics-first", sheet},
    {"coil-works"_attr, Hides::error, "coil-voltage", sheet},
    {"suppression"_attr, Hides::warning, "coil-suppression", ask},
    {"half"_attr, Hides::error, "live-when-unmated, mixed-halves", "look at it: pins or sockets"},
    {"method"_attr, Hides::warning, "whether the joint lasts", "look at it"},
    {"contact-resistance"_attr, Hides::error, "voltage-drop, slow-clearing", millivolts},
    {"contact"_attr, Hides::error, "overloaded-contact, size-mismatch", sheet},
    {"limit"_attr, Hides::error, "overloaded-contact, overheated-motor", sheet, forbids_only},
    {"rated-at"_attr, Hides::error, "overloaded-contact, overloaded-fuse", sheet},
    {"drop"_attr, Hides::error, "voltage-drop, slow-clearing", printed_on_it},
    {"pulse"_attr, Hides::error, "precharge-resistor", sheet},
    {"bleed"_attr, Hides::error, "charged-after-opening", printed_on_it},
    {"input"_attr, Hides::error,
     "input-voltage, undervoltage, cannot-be-fed, rated-below-guard, setting-too-high of an inverter",
     printed_on_it, guards},
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
     printed_on_it, currents_and_guards},
    {"charges"_attr, Hides::error,
     "what it charges: charge-voltage, setting-too-high, oversized-fuse, rated-below-guard", printed_on_it,
     currents_and_guards},
    {"open-circuit-voltage"_attr, Hides::error,
     "panel-voltage, contact-voltage, fuse-voltage, live-when-unmated", printed_on_it},
    {"short-circuit-current"_attr, Hides::error, "panel-current, string-fuse, breaking-current",
     printed_on_it},
    {"maximum-series-fuse"_attr, Hides::error, "string-fuse", printed_on_it},
    {"panel-current"_attr, Hides::error, "panel-current", sheet},
    {"efficiency"_attr, Hides::error, "what it draws, overheated-motor", sheet, currents},
    {"reverse"_attr, Hides::error, "back-feed, no-precharge", ask},
    {"short-circuit"_attr, Hides::error,
     "slow-clearing, oversized-fuse, rated-below-guard, fuse-breaking-capacity", sheet, guards},
    {"capacitance"_attr, Hides::error, "no-precharge, slow-precharge, charged-after-opening", ask},
    {"standby"_attr, Hides::error, "no-precharge, and what it draws at rest", with_a_clamp, currents},
    {"works"_attr, Hides::error, "undervoltage, input-voltage", printed_on_it},
    {"inrush"_attr, Hides::error, "nuisance-trip, making-current", sheet},
    {"stall"_attr, Hides::error, "nuisance-trip, what is burned when it is blocked", sheet, currents},
    {"pin"_attr, Hides::error, "overloaded-contact, signal-current, oversized-fuse, and what the pin draws",
     sheet, currents_and_guards},
    {"thermal-resistance"_attr, Hides::error, heat_rules, half_an_hour, everywhere},
    {"size"_attr, Hides::error, heat_rules, "measure the box", everywhere},
    {"wall"_attr, Hides::error, heat_rules, "look at it", everywhere},
    {"vents"_attr, Hides::error, heat_rules, "measure the holes: what is open of them", everywhere},
    {"state"_attr, Hides::error, heat_rules,
     "half an hour at a known load in that state; or measure the holes", everywhere},
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
     "insulation-mixed, setting-too-high, settings-together",
     "it stands on the insulation, or with whoever sold it"},
    {"material"_attr, Hides::error,
     "overloaded-wire, voltage-drop, size-mismatch, setting-too-high, settings-together",
     "scrape a strand: copper is red all through"},
    {"wrap"_attr, Hides::error, "overloaded-wire, oversized-fuse, setting-too-high, settings-together",
     "look at it"},
    {"length"_attr, Hides::error, "overloaded-wire, setting-too-high, settings-together", tape},
    {"ambient"_attr, Hides::error,
     "overloaded-wire, oversized-fuse, overloaded-contact, overloaded-fuse, overloaded-diode, "
     "overloaded-shunt, overloaded-motor, overloaded-resistor, overloaded-converter, overloaded-pin, "
     "limit-at-temperature, slow-clearing, nuisance-trip, voltage-drop, undervoltage, setting-too-high, "
     "settings-together, rated-below-guard",
     thermometer, everywhere},
    {"altitude"_attr, Hides::error, "overheated-wire, overheated-box, controller-gives-less, cuts-out",
     "a map", everywhere},
    {"voltage-drop"_attr, Hides::error, "voltage-drop", decide},
    {"continuous-fuse-load"_attr, Hides::error, "overloaded-fuse", decide},
    {"unprotected-length"_attr, Hides::error, "unprotected-wire", decide},
    {"live-when-unmated-above"_attr, Hides::error, "live-when-unmated", decide},
    {"precharge-to"_attr, Hides::error, "no-precharge, slow-precharge", decide},
    {"joint-resistance"_attr, Hides::error, "voltage-drop, slow-clearing", millivolts},
    {"hottest-conductor"_attr, Hides::error,
     "overloaded-wire, oversized-fuse, setting-too-high, settings-together", decide},
    {"signal-current"_attr, Hides::error, "signal-current", decide},
};

// What hangs on those of a protector, where that is more than of other kinds: whether it opens at all.
constexpr std::string_view held_by_protector =
    "fuse-breaking-capacity, electronics-first, electronic-only, slow-clearing, insufficient-fault-current, "
    "oversized-fuse, unprotected-wire, rated-below-guard, pack-guard";
constexpr std::string_view tripped_protector =
    "overloaded-protector, nuisance-trip, electronics-first, electronic-only, slow-clearing, "
    "insufficient-fault-current, oversized-fuse, unprotected-wire, rated-below-guard, pack-guard";
constexpr OpenValueRow protector_rows[] = {
    {"(rated-current)"_attr, Hides::error, "overloaded-protector, setting-too-high", printed_on_it},
    {"trips"_attr, Hides::error, tripped_protector, setting, guards},
    {"breaks"_attr, Hides::error, held_by_protector, printed_on_it, guards},
};

// Only a load draws by the voltage it is made for.
constexpr OpenValueRow insulation_row{"(rated-voltage)"_attr, Hides::error, "contact-voltage, series-bms",
                                      printed_on_it};
// A contact carries less where it is hotter than it was rated at, and no more where it is cooler.
constexpr OpenValueRow contact_row{"rated-at"_attr, Hides::error, "overloaded-contact", sheet, forbids_only};

const OpenValueRow* row_in(std::span<const OpenValueRow> all, Attr attribute) {
    const auto row = std::find_if(all.begin(), all.end(),
                                  [&](const OpenValueRow& each) { return each.attribute == attribute; });
    return row == all.end() ? nullptr : &*row;
}

const OpenValueRow* row_of_kind(Kind kind, Attr attribute) {
    if (kind == Kind::protector) return row_in(protector_rows, attribute);
    if (kind != Kind::load && attribute == insulation_row.attribute) return &insulation_row;
    if (kind == Kind::connector && attribute == contact_row.attribute) return &contact_row;
    return nullptr;
}

}  // namespace

const OpenValueRow* open_value_row(std::optional<Kind> kind, Attr attribute) {
    const OpenValueRow* row = kind ? row_of_kind(*kind, attribute) : nullptr;
    return row ? row : row_in(rows, attribute);
}

}  // namespace loomward
