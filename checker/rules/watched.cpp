#include "checker/rules/watched.hpp"

#include <algorithm>
#include <array>

namespace loomward {
namespace {

constexpr KindSet all_parts = kinds(
    {Kind::pack,      Kind::bms,   Kind::fuse,       Kind::breaker,  Kind::protector, Kind::fuse_block,
     Kind::contactor, Kind::relay, Kind::switch_,    Kind::selector, Kind::connector, Kind::terminal_block,
     Kind::splice,    Kind::stud,  Kind::busbar,     Kind::frame,    Kind::shunt,     Kind::resistor,
     Kind::capacitor, Kind::diode, Kind::controller, Kind::motor,    Kind::converter, Kind::charger,
     Kind::inverter,  Kind::load,  Kind::device,     Kind::wire,     Kind::panel});
constexpr KindSet switching = kinds({Kind::contactor, Kind::relay, Kind::switch_, Kind::selector});
constexpr KindSet coils = kinds({Kind::contactor, Kind::relay});
constexpr KindSet devices = kinds({Kind::fuse, Kind::breaker});
constexpr KindSet points =
    kinds({Kind::fuse_block, Kind::terminal_block, Kind::splice, Kind::stud, Kind::busbar});
constexpr KindSet in_line = switching | kinds({Kind::connector, Kind::shunt, Kind::diode});
constexpr KindSet users = kinds({Kind::controller, Kind::converter, Kind::inverter, Kind::load});
constexpr KindSet pinned = kinds({Kind::controller, Kind::converter, Kind::device, Kind::bms});
constexpr KindSet wires = kinds({Kind::wire});
constexpr KindSet packs = kinds({Kind::pack});
constexpr KindSet managed = kinds({Kind::pack, Kind::bms});
constexpr KindSet chargers = kinds({Kind::charger, Kind::converter, Kind::inverter});

constexpr std::array<HazardInfo, hazard_count> hazards = {{
    {"burns", "gets hotter than it stands, in use or in a short circuit"},
    {"arcs", "opens, or is pulled, under more current or voltage than it breaks"},
    {"welds", "closes on more than it stands, and stays closed"},
    {"bursts", "has to break, take up or hold more than it can"},
    {"too high a voltage", "stands or is fed above its voltage"},
    {"wrong way round", "is wired against its polarity"},
    {"a cell abused", "is overcharged, emptied, driven backwards, or asked for more than it may give"},
    {"cannot be switched off", "stays fed, or stays on, when it has to be off"},
    {"starts by itself", "starts, or starts again, when nobody asked"},
    {"lost drive while moving", "cuts out in use"},
    {"live to the touch", "bare metal, a frame or an open contact stands at voltage"},
    {"wrong data", "a signal or supply that tells or gives something else than it should"},
}};

// Where a hazard can arise at all.
constexpr std::array<KindSet, hazard_count> arises = {
    all_parts,                                                                    // burns
    switching | devices | kinds({Kind::connector, Kind::bms, Kind::protector}),   // arcs
    switching | kinds({Kind::bms}),                                               // welds
    devices | packs | kinds({Kind::protector, Kind::capacitor, Kind::resistor}),  // bursts
    all_parts & ~kinds({Kind::splice, Kind::stud, Kind::busbar, Kind::frame, Kind::shunt, Kind::resistor}),
    managed | users | chargers | coils |
        kinds({Kind::capacitor, Kind::diode, Kind::device, Kind::motor, Kind::panel}),
    packs,  // a cell abused
    switching | users | chargers | kinds({Kind::motor, Kind::connector, Kind::capacitor}),
    users | kinds({Kind::breaker, Kind::protector, Kind::motor, Kind::contactor,
                   Kind::relay}),                                                   // starts by itself
    managed | devices | users | coils | kinds({Kind::protector, Kind::connector}),  // lost drive while moving
    all_parts & ~kinds({Kind::fuse_block, Kind::shunt, Kind::diode}),               // live to the touch
    pinned | kinds({Kind::bms, Kind::shunt, Kind::wire, Kind::load, Kind::charger}),  // wrong data
};

struct Row {
    std::string_view rule;
    Hazard hazard;
    KindSet kinds;
};
using enum Hazard;

constexpr auto rows = std::to_array<Row>({
    // burns
    {"overloaded-wire", burns, wires},
    {"panel-current", burns, wires | in_line | points | devices | kinds({Kind::bms, Kind::charger})},
    {"string-fuse", burns, kinds({Kind::panel})},
    {"unlike-panels", burns, kinds({Kind::panel})},
    {"panel-loss", burns, wires},
    {"oversized-fuse", burns, wires},
    {"slow-clearing", burns, wires},
    {"unprotected-wire", burns, wires},
    {"insufficient-fault-current", burns, wires},
    {"parallel-conductors", burns, wires},
    {"electronic-only", burns, wires},
    {"signal-current", burns, wires},
    {"overheated-wire", burns, wires},
    {"insulation-mixed", burns, wires},
    {"hot-place", burns, wires | kinds({Kind::connector})},
    {"overheated-contact", burns, kinds({Kind::connector})},
    {"bypassed-fuse", burns, wires | devices},
    {"no-fuse-between-packs", burns, wires | packs},
    {"size-mismatch", burns, wires | kinds({Kind::connector, Kind::terminal_block})},
    {"crowded-contact", burns, kinds({Kind::connector, Kind::terminal_block, Kind::stud, Kind::busbar})},
    {"phase-setting-too-high", burns, wires | kinds({Kind::connector, Kind::controller, Kind::motor})},
    {"setting-too-high", burns,
     wires | in_line | points | devices | managed |
         kinds({Kind::protector, Kind::controller, Kind::charger, Kind::inverter})},
    {"settings-together", burns,
     wires | in_line | points | managed | kinds({Kind::controller, Kind::charger, Kind::inverter})},
    {"overloaded-contact", burns, switching | points | pinned | kinds({Kind::connector})},
    {"rated-below-guard", burns, in_line | points},
    {"below-charger", burns, in_line},
    {"in-no-mode", burns, wires | in_line | devices | pinned},
    {"short-time-withstand", burns, switching | kinds({Kind::connector})},
    {"overloaded-pin", burns, pinned},
    {"overloaded-diode", burns, kinds({Kind::diode})},
    {"freewheel-diode", burns, kinds({Kind::diode})},
    {"overloaded-shunt", burns, kinds({Kind::shunt})},
    {"overloaded-resistor", burns, kinds({Kind::resistor})},
    {"precharge-resistor", burns, kinds({Kind::resistor})},
    {"overloaded-fuse", burns, devices},
    {"overloaded-protector", burns, kinds({Kind::protector})},
    {"fuse-above-holder", burns, kinds({Kind::fuse_block, Kind::fuse})},
    {"parallel-devices", burns, devices},
    {"overloaded-motor", burns, kinds({Kind::motor})},
    {"overheated-motor", burns, kinds({Kind::motor})},
    {"overloaded-converter", burns, kinds({Kind::converter, Kind::charger})},
    {"overdrawn-pack", burns, packs},
    {"overdrawn-bms", burns, kinds({Kind::bms})},
    {"limit-at-temperature", burns, managed},
    {"pack-too-hot", burns, packs},
    {"nuisance-trip", burns, kinds({Kind::load})},
    {"rated-for-cooler-air", burns, switching | points},
    {"overheated-box", burns,
     switching | kinds({Kind::fuse_block, Kind::terminal_block, Kind::busbar, Kind::controller,
                        Kind::converter, Kind::charger, Kind::inverter, Kind::load, Kind::motor, Kind::bms,
                        Kind::protector, Kind::shunt, Kind::resistor, Kind::capacitor, Kind::diode})},
    {"blocked-load", burns, wires | switching | kinds({Kind::connector, Kind::load})},
    {"unknown-let-through", burns, kinds({Kind::fuse})},
    {"bond-current", burns, kinds({Kind::frame})},
    {"dead-short", burns,
     all_parts& kinds({Kind::pack, Kind::wire, Kind::charger, Kind::converter, Kind::inverter})},
    {"short-when-closed", burns, switching | wires},
    {"shorted-output", burns, pinned | chargers},
    {"misplaced-motor-lead", burns, kinds({Kind::controller, Kind::motor})},
    {"undriven-motor", burns, kinds({Kind::motor})},
    {"joined-outputs", burns, pinned | chargers},
    {"shorting-diode", burns, kinds({Kind::diode})},
    {"mixed-metals", burns, wires | kinds({Kind::splice})},
    {"joined-packs", burns, packs | wires},
    {"coil-suppression", burns, kinds({Kind::device})},
    {"no-freewheel", burns, kinds({Kind::device, Kind::controller})},
    {"coil-voltage", burns, coils},
    {"live-when-off", burns, users},
    // arcs
    {"breaking-current", arcs, switching | kinds({Kind::connector})},
    {"contact-voltage", arcs, switching | kinds({Kind::protector, Kind::connector})},
    {"fuse-voltage", arcs, devices},
    {"coil-suppression", arcs, coils},
    {"series-bms", arcs, kinds({Kind::bms})},
    {"live-when-unmated", arcs, kinds({Kind::connector})},
    {"no-load-break", arcs, switching | kinds({Kind::connector})},
    // welds
    {"making-current", welds, switching},
    {"no-precharge", welds, switching},
    {"slow-precharge", welds, switching},
    {"joined-packs", welds, switching},
    {"short-when-closed", welds, switching},
    // bursts
    {"family-rating", burns, kinds({Kind::fuse, Kind::breaker})},
    {"fuse-breaking-capacity", bursts, devices | kinds({Kind::protector})},
    {"parallel-devices", bursts, devices},
    {"precharge-resistor", bursts, kinds({Kind::resistor})},
    {"contact-voltage", bursts, kinds({Kind::capacitor})},
    {"charge-voltage", bursts, packs},
    // too high a voltage
    {"fuse-voltage", too_high_voltage, devices},
    {"contact-voltage", too_high_voltage,
     switching | kinds({Kind::bms, Kind::protector, Kind::connector, Kind::terminal_block, Kind::fuse_block,
                        Kind::diode, Kind::capacitor})},
    {"input-voltage", too_high_voltage, users},
    {"stored-overvoltage", too_high_voltage, users | coils},
    {"wrong-rail", too_high_voltage, kinds({Kind::load})},
    {"panel-voltage", too_high_voltage, kinds({Kind::charger})},
    {"panel-on-pack", cell_abused, kinds({Kind::pack})},
    {"charge-voltage", too_high_voltage, packs | chargers},
    {"coil-voltage", too_high_voltage, coils},
    {"regeneration-blocked", too_high_voltage, kinds({Kind::controller})},
    {"regeneration-cut-off", too_high_voltage, kinds({Kind::controller})},
    {"signal-voltage", too_high_voltage, pinned},
    {"series-bms", too_high_voltage, kinds({Kind::bms})},
    {"no-pack-to-charge", too_high_voltage, chargers},
    {"joined-outputs", too_high_voltage, pinned | chargers},
    // wrong way round
    {"panel-voltage", wrong_way_round, kinds({Kind::charger})},
    {"reversed", wrong_way_round, users | packs | kinds({Kind::capacitor, Kind::device, Kind::charger})},
    {"opposed-panels", wrong_way_round, kinds({Kind::diode, Kind::panel})},
    {"walked-backwards", wrong_way_round, kinds({Kind::contactor})},
    {"bms-direction", wrong_way_round, kinds({Kind::bms})},
    {"coil-polarity", wrong_way_round, coils},
    {"blocking-diode", wrong_way_round, kinds({Kind::diode})},
    {"shorting-diode", wrong_way_round, kinds({Kind::diode})},
    {"breaking-current", wrong_way_round, kinds({Kind::contactor})},
    {"shorted-output", wrong_way_round, pinned},
    // a cell abused
    {"overdrawn-pack", cell_abused, packs},
    {"limit-at-temperature", cell_abused, packs},
    {"pack-too-hot", cell_abused, packs},
    {"charged-hot", cell_abused, packs},
    {"charge-voltage", cell_abused, packs},
    {"past-bms", cell_abused, packs},
    {"uneven-discharge", cell_abused, packs},
    {"charged-alone", cell_abused, packs},
    {"unlike-packs", cell_abused, packs},
    {"unwatched-cells", cell_abused, packs},
    {"uncharged-pack", cell_abused, packs},
    {"charged-in-the-cold", cell_abused, packs},
    {"pack-guard", cell_abused, packs},
    {"joined-packs", cell_abused, packs},
    {"settings-together", cell_abused, packs},
    {"series-bms", cell_abused, packs},
    {"regeneration-too-high", cell_abused, packs},
    // cannot be switched off
    {"no-disconnect", cannot_be_switched_off, users},
    {"bridged-contact", cannot_be_switched_off, switching},
    {"fed-at-rest", cannot_be_switched_off, kinds({Kind::relay, Kind::load})},
    {"idle-contact", cannot_be_switched_off, coils | kinds({Kind::switch_})},
    {"back-feed", cannot_be_switched_off, users | chargers},
    {"fed-backwards", cannot_be_switched_off, kinds({Kind::converter})},
    {"charged-after-opening", cannot_be_switched_off,
     kinds({Kind::capacitor, Kind::controller, Kind::converter, Kind::inverter})},
    {"past-bms", cannot_be_switched_off, users | kinds({Kind::charger})},
    {"no-load-break", cannot_be_switched_off, users},
    {"held-coil", cannot_be_switched_off, coils},
    {"past-driver", cannot_be_switched_off, kinds({Kind::load})},
    {"driven-against-brake", starts_by_itself, kinds({Kind::load})},
    {"brake-open-at-rest", starts_by_itself, kinds({Kind::load})},
    {"driven-while-charging", starts_by_itself, kinds({Kind::controller, Kind::load})},
    {"starts-again", starts_by_itself, kinds({Kind::controller, Kind::load})},
    {"stays-latched", cannot_be_switched_off, kinds({Kind::contactor})},
    {"idle-stop", cannot_be_switched_off, kinds({Kind::switch_, Kind::controller})},
    {"live-when-off", cannot_be_switched_off,
     switching | kinds({Kind::capacitor, Kind::controller, Kind::converter, Kind::inverter})},
    // starts by itself
    {"strayed-signal", starts_by_itself, kinds({Kind::controller})},
    {"self-closing-breaker", starts_by_itself, kinds({Kind::breaker, Kind::protector})},
    {"back-feed", starts_by_itself, users},
    {"back-fed-output", starts_by_itself, kinds({Kind::controller})},
    {"switched-minus", starts_by_itself, users},
    // lost drive while moving
    {"nuisance-trip", lost_drive, devices | kinds({Kind::protector})},
    {"overloaded-fuse", lost_drive, devices},
    {"opens-below-rating", lost_drive, devices},
    {"overloaded-protector", lost_drive, kinds({Kind::protector})},
    {"not-selective", lost_drive, devices},
    {"electronics-first", lost_drive, kinds({Kind::bms, Kind::protector})},
    {"overdrawn-bms", lost_drive, kinds({Kind::bms})},
    {"overdrawn-pack", lost_drive, packs},
    {"limit-at-temperature", lost_drive, managed | kinds({Kind::controller})},
    {"controller-gives-less", lost_drive, kinds({Kind::controller, Kind::converter, Kind::inverter})},
    {"cuts-out", lost_drive, kinds({Kind::controller, Kind::converter, Kind::inverter})},
    {"controller-gives-less", burns, kinds({Kind::charger})},
    {"cuts-out", burns, kinds({Kind::charger})},
    {"pack-too-hot", lost_drive, managed},
    {"undervoltage", lost_drive, users},
    {"starting-sag", lost_drive, users | coils},
    {"start-above-output", lost_drive, users},
    {"charging-surge", lost_drive, kinds({Kind::fuse, Kind::breaker, Kind::protector, Kind::bms})},
    {"voltage-drop", lost_drive, users},
    {"cannot-be-fed", lost_drive, users},
    {"settings-together", lost_drive, managed},
    {"coil-voltage", lost_drive, coils},
    {"never-pulls-in", lost_drive, coils | kinds({Kind::converter})},
    // live to the touch
    {"live-when-unmated", live_to_the_touch, kinds({Kind::connector})},
    {"charged-after-opening", live_to_the_touch,
     kinds({Kind::capacitor, Kind::controller, Kind::converter, Kind::inverter})},
    {"bond-current", live_to_the_touch, kinds({Kind::frame})},
    {"bonded-pack", live_to_the_touch, kinds({Kind::frame})},
    {"joined-sides", live_to_the_touch, kinds({Kind::converter})},
    {"bond-colour", live_to_the_touch, wires},
    {"mixed-halves", live_to_the_touch, kinds({Kind::connector})},
    // wrong data
    {"signal-current", wrong_data, pinned | wires},
    {"strayed-signal", wrong_data, pinned},
    {"return-on-supply", wrong_data, kinds({Kind::device})},
    {"crossed-signals", wrong_data, kinds({Kind::device, Kind::controller})},
    {"joined-outputs", wrong_data, pinned},
    {"floating", wrong_data, kinds({Kind::load, Kind::device})},
    {"open-ended", wrong_data, wires | kinds({Kind::device})},
    {"unmet-contact", wrong_data, wires},
    {"unwired-pin", wrong_data, pinned},
    {"unwired-pin", cell_abused, packs},
    {"open-ended", lost_drive, kinds({Kind::controller})},
    {"overloaded-pin", wrong_data, pinned},
    {"shared-panels", wrong_data, kinds({Kind::charger})},
    // what is judged over time, when returning current, and when off
    {"live-when-off", cannot_be_switched_off, users | switching},
    {"live-when-off", live_to_the_touch, users},
    {"held-coil", cannot_be_switched_off, coils},
    {"past-driver", cannot_be_switched_off, kinds({Kind::load})},
    {"driven-against-brake", starts_by_itself, kinds({Kind::load})},
    {"never-pulls-in", lost_drive, coils},
    {"no-load-break", arcs, kinds({Kind::connector, Kind::switch_})},
    {"no-load-break", cannot_be_switched_off, users},
    {"switched-minus", starts_by_itself, kinds({Kind::load})},
    {"switched-minus", live_to_the_touch, kinds({Kind::load, Kind::switch_})},
    {"regeneration-too-high", lost_drive, managed | kinds({Kind::controller})},
    {"mode-above-setting", lost_drive, kinds({Kind::controller, Kind::inverter})},
    {"back-fed-output", wrong_data, pinned},
});

// Rules about the text itself, the modes or the numbers: they watch no part.
constexpr auto about_the_text =
    std::to_array<std::string_view>({"dead-key", "doubt", "missing-data", "mode-contradicts", "no-mode",
                                     "not-solved", "spare-wired", "unused-acceptance"});

}  // namespace

const HazardInfo& info(Hazard hazard) {
    return hazards[static_cast<std::size_t>(hazard)];
}

std::span<const Kind> watched_kinds() {
    static const std::vector<Kind> all = [] {
        std::vector<Kind> list;
        for (const KindInfo& row : kind_table())
            if (holds(all_parts, row.kind)) list.push_back(row.kind);
        return list;
    }();
    return all;
}

bool can_arise(Hazard hazard, Kind kind) {
    return holds(arises[static_cast<std::size_t>(hazard)], kind);
}

std::vector<std::string_view> watching(Hazard hazard, Kind kind) {
    std::vector<std::string_view> found;
    for (const Row& row : rows)
        if (row.hazard == hazard && holds(row.kinds, kind)) found.push_back(row.rule);
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

std::vector<std::string_view> watching_rules() {
    std::vector<std::string_view> found(about_the_text.begin(), about_the_text.end());
    for (const Row& row : rows) found.push_back(row.rule);
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

std::vector<std::string> not_watched(const Harness& harness) {
    KindSet there = harness.wires.empty() ? 0 : wires;
    for (const Part& part : harness.parts) there |= kinds({part.kind});
    std::vector<std::string> lines;
    for (std::size_t i = 0; i < hazard_count; ++i) {
        const auto hazard = static_cast<Hazard>(i);
        std::string names;
        for (const Kind kind : watched_kinds())
            if (holds(there, kind) && can_arise(hazard, kind) && watching(hazard, kind).empty())
                names += (names.empty() ? "" : ", ") + std::string(info(kind).word);
        if (!names.empty()) lines.push_back(std::string(info(hazard).name) + ": " + names);
    }
    return lines;
}

}  // namespace loomward
