// The rows of the table of ratings, and the list of what limits nothing.
#include <algorithm>
#include <array>

#include "checker/parts/ratings.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr RatingLevel error = RatingLevel::error, warning = RatingLevel::warning;

// What electronics do in the heat.
constexpr RatingRow gives_less(Kind kind) {
    return {kind, "gives-less-from"_attr, Held::temperature, "controller-gives-less", warning};
}
constexpr RatingRow cuts_out(Kind kind) {
    return {kind, "cuts-out-at"_attr, Held::temperature, "cuts-out", error};
}
constexpr RatingRow highest_ambient(Kind kind) {
    return {kind, "highest-ambient"_attr, Held::temperature, "overheated-box", error};
}
// A terminal that is said to be spare says so whatever the kind.
constexpr RatingRow spare(Kind kind) {
    return {kind, "spare"_attr, Held::use, "spare-wired", warning};
}

constexpr std::string_view contact_rules =
    "overloaded-contact setting-too-high settings-together rated-below-guard";
constexpr std::string_view block_rules =
    "overloaded-contact rated-below-guard setting-too-high settings-together";

constexpr auto table = std::to_array<RatingRow>({
    {Kind::pack, "discharge"_attr, Held::current, "overdrawn-pack setting-too-high settings-together", error},
    {Kind::pack, "charge"_attr, Held::charge_current, "overdrawn-pack settings-together", error},
    {Kind::pack, "peak"_attr, Held::current_for_a_time, "overdrawn-pack", error},
    {Kind::pack, "discharge-at"_attr, Held::temperature, "limit-at-temperature setting-too-high", error},
    {Kind::pack, "charge-at"_attr, Held::temperature, "limit-at-temperature", error},
    {Kind::pack, "cuts-out-at"_attr, Held::temperature, "pack-too-hot", error},
    {Kind::pack, "taps"_attr, Held::use, "uneven-discharge", warning},
    spare(Kind::pack),
    {Kind::bms, "(rated-voltage)"_attr, Held::voltage_open, "contact-voltage series-bms", error},
    {Kind::bms, "discharge"_attr, Held::current, "overdrawn-bms setting-too-high settings-together", error},
    {Kind::bms, "charge"_attr, Held::charge_current, "overdrawn-bms settings-together", error},
    {Kind::bms, "trips"_attr, Held::current_for_a_time, "overdrawn-bms electronics-first", error},
    {Kind::bms, "charge-trips"_attr, Held::current_for_a_time, "overdrawn-bms", error},
    {Kind::bms, "discharge-at"_attr, Held::temperature, "limit-at-temperature setting-too-high", error},
    {Kind::bms, "charge-at"_attr, Held::temperature, "limit-at-temperature", error},
    {Kind::bms, "cuts-out-at"_attr, Held::temperature, "pack-too-hot", error},
    {Kind::bms, "pin"_attr, Held::current, "overloaded-contact overloaded-pin signal-current", error},
    highest_ambient(Kind::bms),
    spare(Kind::bms),
    {Kind::fuse, "(rated-current)"_attr, Held::current, "overloaded-fuse setting-too-high", error},
    {Kind::fuse, "(operational-voltage)"_attr, Held::voltage_open, "fuse-voltage", error},
    {Kind::fuse, "breaks"_attr, Held::breaking, "fuse-breaking-capacity fuse-voltage", error},
    {Kind::fuse, "rated-at"_attr, Held::temperature, "overloaded-fuse", error},
    {Kind::breaker, "rated-at"_attr, Held::temperature, "overloaded-fuse", error},
    spare(Kind::fuse),
    {Kind::breaker, "(rated-current)"_attr, Held::current, "overloaded-fuse setting-too-high", error},
    {Kind::breaker, "(operational-voltage)"_attr, Held::voltage_open, "fuse-voltage", error},
    {Kind::breaker, "breaks"_attr, Held::breaking, "fuse-breaking-capacity fuse-voltage", error},
    {Kind::breaker, "reset"_attr, Held::use, "self-closing-breaker", warning},
    spare(Kind::breaker),
    {Kind::protector, "(rated-current)"_attr, Held::current, "overloaded-protector setting-too-high", error},
    {Kind::protector, "(operational-voltage)"_attr, Held::voltage_open, "contact-voltage", error},
    {Kind::protector, "trips"_attr, Held::current_for_a_time, "overloaded-protector electronics-first",
     error},
    {Kind::protector, "breaks"_attr, Held::breaking, "fuse-breaking-capacity contact-voltage", error},
    {Kind::protector, "reset"_attr, Held::use, "self-closing-breaker", warning},
    highest_ambient(Kind::protector),
    spare(Kind::protector),
    {Kind::fuse_block, "(rated-voltage)"_attr, Held::voltage_between, "contact-voltage", error},
    {Kind::fuse_block, "carries"_attr, Held::current, block_rules, error},
    {Kind::fuse_block, "way-carries"_attr, Held::current, "overloaded-contact fuse-above-holder", error},
    highest_ambient(Kind::fuse_block),
    spare(Kind::fuse_block),
    {Kind::contactor, "(operational-voltage)"_attr, Held::voltage_open, "contact-voltage", error},
    {Kind::contactor, "nominal"_attr, Held::use, "contact-voltage", warning},
    {Kind::contactor, "carries"_attr, Held::current, contact_rules, error},
    {Kind::contactor, "makes"_attr, Held::making, "making-current no-precharge", error},
    {Kind::contactor, "breaks"_attr, Held::breaking, "breaking-current contact-voltage", error},
    {Kind::contactor, "withstands"_attr, Held::let_through, "short-time-withstand", error},
    {Kind::contactor, "coil-works"_attr, Held::voltage_fed, "coil-voltage", error},
    {Kind::contactor, "polarised"_attr, Held::use, "breaking-current", error},
    highest_ambient(Kind::contactor),
    spare(Kind::contactor),
    {Kind::relay, "(operational-voltage)"_attr, Held::voltage_open, "contact-voltage", error},
    {Kind::relay, "nominal"_attr, Held::use, "contact-voltage", warning},
    {Kind::relay, "carries"_attr, Held::current, contact_rules, error},
    {Kind::relay, "makes"_attr, Held::making, "making-current no-precharge", error},
    {Kind::relay, "breaks"_attr, Held::breaking, "breaking-current contact-voltage", error},
    {Kind::relay, "withstands"_attr, Held::let_through, "short-time-withstand", error},
    {Kind::relay, "coil-works"_attr, Held::voltage_fed, "coil-voltage", error},
    highest_ambient(Kind::relay),
    spare(Kind::relay),
    {Kind::switch_, "(operational-voltage)"_attr, Held::voltage_open, "contact-voltage", error},
    {Kind::switch_, "nominal"_attr, Held::use, "contact-voltage", warning},
    {Kind::switch_, "carries"_attr, Held::current, contact_rules, error},
    {Kind::switch_, "makes"_attr, Held::making, "making-current no-precharge", error},
    {Kind::switch_, "breaks"_attr, Held::breaking, "breaking-current contact-voltage", error},
    {Kind::switch_, "withstands"_attr, Held::let_through, "short-time-withstand", error},
    highest_ambient(Kind::switch_),
    spare(Kind::switch_),
    {Kind::selector, "(operational-voltage)"_attr, Held::voltage_open, "contact-voltage", error},
    {Kind::selector, "carries"_attr, Held::current, contact_rules, error},
    {Kind::selector, "makes"_attr, Held::making, "making-current no-precharge", error},
    {Kind::selector, "breaks"_attr, Held::breaking, "breaking-current contact-voltage", error},
    {Kind::selector, "withstands"_attr, Held::let_through, "short-time-withstand", error},
    highest_ambient(Kind::selector),
    spare(Kind::selector),
    {Kind::connector, "(rated-voltage)"_attr, Held::voltage_between, "contact-voltage", error},
    {Kind::connector, "carries"_attr, Held::current, contact_rules, error},
    {Kind::connector, "half"_attr, Held::use, "live-when-unmated", error},
    {Kind::connector, "takes"_attr, Held::size, "size-mismatch crowded-contact", error},
    {Kind::connector, "rated-at"_attr, Held::temperature, "overloaded-contact", error},
    {Kind::connector, "limit"_attr, Held::temperature, "overloaded-contact hot-place", error},
    {Kind::connector, "breaks"_attr, Held::breaking, "breaking-current", error},
    {Kind::connector, "withstands"_attr, Held::let_through, "short-time-withstand", error},
    {Kind::connector, "contact"_attr, Held::current, contact_rules, error},
    spare(Kind::connector),
    {Kind::terminal_block, "(rated-voltage)"_attr, Held::voltage_between, "contact-voltage", error},
    {Kind::terminal_block, "carries"_attr, Held::current, block_rules, error},
    {Kind::terminal_block, "takes"_attr, Held::size, "size-mismatch crowded-contact", error},
    highest_ambient(Kind::terminal_block),
    spare(Kind::terminal_block),
    {Kind::splice, "method"_attr, Held::use, "mixed-metals", warning},
    {Kind::splice, "carries"_attr, Held::current, block_rules, error},
    {Kind::stud, "carries"_attr, Held::current, block_rules, error},
    {Kind::busbar, "carries"_attr, Held::current, block_rules, error},
    highest_ambient(Kind::busbar),
    spare(Kind::busbar),
    {Kind::frame, "serves"_attr, Held::use, "bond-current bond-colour", error},
    {Kind::shunt, "(rated-current)"_attr, Held::current,
     "overloaded-shunt setting-too-high settings-together rated-below-guard", error},
    highest_ambient(Kind::shunt),
    spare(Kind::shunt),
    {Kind::resistor, "(power)"_attr, Held::power, "overloaded-resistor precharge-resistor", error},
    {Kind::resistor, "pulse"_attr, Held::energy, "precharge-resistor", error},
    highest_ambient(Kind::resistor),
    spare(Kind::resistor),
    {Kind::capacitor, "(rated-voltage)"_attr, Held::voltage_across, "contact-voltage", error},
    highest_ambient(Kind::capacitor),
    spare(Kind::capacitor),
    {Kind::diode, "(rated-current)"_attr, Held::current,
     "overloaded-diode freewheel-diode setting-too-high settings-together rated-below-guard", error},
    {Kind::diode, "(rated-voltage)"_attr, Held::voltage_open, "contact-voltage", error},
    highest_ambient(Kind::diode),
    spare(Kind::diode),
    {Kind::controller, "input"_attr, Held::voltage_fed, "input-voltage undervoltage", error},
    {Kind::controller, "supply-limit"_attr, Held::setting, "setting-too-high settings-together", error},
    {Kind::controller, "phase-peak"_attr, Held::setting, "phase-setting-too-high setting-too-high", error},
    {Kind::controller, "phase-limit"_attr, Held::setting, "phase-setting-too-high setting-too-high", error},
    {Kind::controller, "supply-at"_attr, Held::temperature, "limit-at-temperature", warning},
    {Kind::controller, "pin"_attr, Held::current, "overloaded-contact overloaded-pin signal-current", error},
    gives_less(Kind::controller),
    cuts_out(Kind::controller),
    highest_ambient(Kind::controller),
    spare(Kind::controller),
    {Kind::motor, "carries"_attr, Held::current, "overloaded-motor", error},
    {Kind::motor, "limit"_attr, Held::temperature, "overheated-motor", error},
    highest_ambient(Kind::motor),
    spare(Kind::motor),
    {Kind::converter, "input"_attr, Held::voltage_fed, "input-voltage undervoltage", error},
    {Kind::converter, "output"_attr, Held::current, "overloaded-converter charge-voltage", error},
    {Kind::converter, "pin"_attr, Held::current, "overloaded-contact overloaded-pin signal-current", error},
    gives_less(Kind::converter),
    cuts_out(Kind::converter),
    highest_ambient(Kind::converter),
    spare(Kind::converter),
    {Kind::charger, "output"_attr, Held::current, "overloaded-converter charge-voltage settings-together",
     error},
    {Kind::charger, "panel-input"_attr, Held::voltage_fed, "panel-voltage", error},
    {Kind::charger, "panel-current"_attr, Held::current, "panel-current", error},
    gives_less(Kind::charger),
    cuts_out(Kind::charger),
    highest_ambient(Kind::charger),
    spare(Kind::charger),
    {Kind::panel, "maximum-series-fuse"_attr, Held::current, "string-fuse", error},
    spare(Kind::panel),
    {Kind::inverter, "(power)"_attr, Held::setting, "mode-above-setting setting-too-high settings-together",
     error},
    {Kind::inverter, "input"_attr, Held::voltage_fed, "input-voltage undervoltage", error},
    {Kind::inverter, "charges"_attr, Held::current, "charge-voltage setting-too-high settings-together",
     error},
    gives_less(Kind::inverter),
    cuts_out(Kind::inverter),
    highest_ambient(Kind::inverter),
    spare(Kind::inverter),
    {Kind::load, "(rated-voltage)"_attr, Held::voltage_fed, "wrong-rail", error},
    {Kind::load, "works"_attr, Held::voltage_fed, "input-voltage undervoltage wrong-rail", error},
    highest_ambient(Kind::load),
    spare(Kind::load),
    {Kind::device, "pin"_attr, Held::current, "overloaded-contact overloaded-pin signal-current", error},
    spare(Kind::device),
    {Kind::wire, "(area)"_attr, Held::current, "overloaded-wire oversized-fuse slow-clearing size-mismatch",
     error},
    {Kind::wire, "(colour)"_attr, Held::use, "bond-colour", warning},
    {Kind::wire, "insulation"_attr, Held::temperature, "hot-place overloaded-wire", error},
    {Kind::wire, "material"_attr, Held::use, "mixed-metals overloaded-wire", error},
    {Kind::cable, "(area)"_attr, Held::current, "overloaded-wire oversized-fuse slow-clearing size-mismatch",
     error},
    {Kind::cable, "core"_attr, Held::current, "overloaded-wire oversized-fuse slow-clearing size-mismatch",
     error},
    {Kind::cable, "insulation"_attr, Held::temperature, "hot-place overloaded-wire", error},
    {Kind::cable, "material"_attr, Held::use, "mixed-metals overloaded-wire", error},
    highest_ambient(Kind::location),
    {Kind::harness, "insulation"_attr, Held::temperature, "hot-place overloaded-wire", error},
    {Kind::policy, "voltage-drop"_attr, Held::voltage_fed, "voltage-drop", warning},
    {Kind::policy, "continuous-fuse-load"_attr, Held::current, "overloaded-fuse", warning},
    {Kind::policy, "unprotected-length"_attr, Held::size, "unprotected-wire", error},
    {Kind::policy, "live-when-unmated-above"_attr, Held::voltage_open, "live-when-unmated", error},
    {Kind::policy, "precharge-to"_attr, Held::making, "slow-precharge no-precharge", warning},
    {Kind::policy, "hottest-conductor"_attr, Held::temperature, "overloaded-wire hot-place", error},
    {Kind::policy, "signal-current"_attr, Held::current, "signal-current overloaded-pin", warning},
});

constexpr std::string_view papers = "for the papers";
constexpr std::string_view physics = "a physical value that currents are worked out from";
constexpr std::string_view structure = "says what is there";
constexpr std::string_view behaviour = "how it behaves: what it draws, gives or opens at";

constexpr auto without = std::to_array<NoLimit>({
    {"note"_attr, papers, {}},
    {"doubt"_attr, papers, {}},
    {"order"_attr, papers, {}},
    {"torque"_attr, papers, {}},
    {"marks"_attr, papers, {}},
    {"ends"_attr, papers, {}},
    {"revision"_attr, papers, {}},
    {"subtitle"_attr, papers, {}},
    {"document"_attr, papers, {}},
    {"date"_attr, papers, {}},
    {"drawn-by"_attr, papers, {}},
    {"checked-by"_attr, papers, {}},
    {"approved-by"_attr, papers, {}},
    {"legal-owner"_attr, papers, {}},
    {"at"_attr, structure, {}},
    {"in"_attr, structure, {}},
    {"along"_attr, structure, {}},
    {"holder"_attr, structure, {}},
    {"cells"_attr, structure, {}},
    {"side"_attr, structure, {}},
    {"ports"_attr, structure, {}},
    {"drives"_attr, structure, {}},
    {"latching"_attr, behaviour, {}},
    {"task"_attr, "what it is for: what its failures mean", {}},
    {"stop"_attr, structure, {}},
    {"hand"_attr, structure, {}},
    {"opening-time"_attr, behaviour, {}},
    {"ways"_attr, structure, {}},
    {"feed"_attr, structure, {}},
    {"bridge"_attr, structure, {}},
    {"studs"_attr, structure, {}},
    {"contacts"_attr, structure, {}},
    {"poles"_attr, structure, {}},
    {"rest"_attr, structure, {}},
    {"terminals"_attr, structure, {}},
    {"position"_attr, structure, {}},
    {"mate"_attr, structure, {}},
    {"phases"_attr, structure, {}},
    {"leads"_attr, structure, {}},
    {"negative"_attr, structure, {}},
    {"precharges"_attr, structure, {}},
    {"parallel"_attr, structure, {}},
    {"cores"_attr, structure, {}},
    {"repeat"_attr, structure, {}},
    {"chain"_attr, structure, {}},
    {"cell-voltage"_attr, physics, {}},
    {"cell-resistance"_attr, physics, {}},
    {"cell-capacity"_attr, physics, {}},
    {"voltage"_attr, physics, {}},
    {"resistance"_attr, physics, {}},
    {"capacity"_attr, physics, {}},
    {"link-resistance"_attr, physics, {}},
    {"aged-resistance"_attr, physics, {}},
    {"mass"_attr, physics, {}},
    {"contact-resistance"_attr, physics, {}},
    {"(resistance)"_attr, physics, {}},
    {"(capacitance)"_attr, physics, {}},
    {"capacitance"_attr, physics, {}},
    {"bleed"_attr, physics, {}},
    {"drop"_attr, physics, {}},
    {"(length)"_attr, physics, {}},
    {"length"_attr, physics, {}},
    {"outer-diameter"_attr, "a physical value for the heat of conductors, which the tables do not need", {}},
    {"wrap"_attr, physics, {}},
    {"ambient"_attr, "what ratings are held against", {}},
    {"air"_attr,
     "the tables are for still air; its speed is for the heat of conductors, which they do not need",
     {}},
    {"altitude"_attr, physics, {}},
    {"joint-resistance"_attr, physics, {}},
    {"thermal-resistance"_attr, physics, {}},
    {"rise"_attr, physics, {}},
    {"size"_attr, physics, {}},
    {"wall"_attr, physics, {}},
    {"vents"_attr, physics, {}},
    {"state"_attr, physics, {}},
    {"mounting"_attr, physics, {}},
    {"time-constant"_attr, physics, {}},
    {"losses"_attr, behaviour, {}},
    {"estimate-spread"_attr, "how far an estimate may be off", {}},
    {"standby"_attr, behaviour, {}},
    {"curve"_attr, behaviour, {}},
    {"point"_attr, behaviour, {}},
    {"melts"_attr, behaviour, {}},
    {"clears"_attr, behaviour, {}},
    {"instantaneous"_attr, behaviour, {}},
    {"coil"_attr, behaviour, {}},
    {"suppression"_attr, behaviour, {}},
    {"regen"_attr, behaviour, {}},
    {"efficiency"_attr, behaviour, {}},
    {"reverse"_attr, behaviour, {}},
    {"open-circuit-voltage"_attr, behaviour, {}},
    {"short-circuit-current"_attr, behaviour, {}},
    {"short-circuit"_attr, behaviour, {}},
    {"(power)"_attr, "what it draws", Kind::load},
    {"(current)"_attr, "what it draws", {}},
    {"acts-as"_attr, behaviour, {}},
    {"inrush"_attr, behaviour, {}},
    {"stall"_attr, behaviour, {}},
});

}  // namespace

std::span<const RatingRow> rating_table() {
    return table;
}
std::span<const NoLimit> limits_nothing() {
    return without;
}

std::string_view held_text(Held held) {
    switch (held) {
        case Held::voltage_open:
            return "what stands across it while it is open";
        case Held::voltage_between:
            return "the highest voltage of all that hangs together there";
        case Held::voltage_across:
            return "what stands between its poles";
        case Held::voltage_fed:
            return "the voltage that arrives";
        case Held::current:
            return "what it carries, gives or could be asked for";
        case Held::current_for_a_time:
            return "what it carries for a time";
        case Held::charge_current:
            return "what flows towards the cells";
        case Held::setting:
            return "what is wired to it, at its setting";
        case Held::making:
            return "what it closes on";
        case Held::breaking:
            return "what it opens, in use or in a short circuit";
        case Held::let_through:
            return "the heat that a short circuit lets through it";
        case Held::energy:
            return "the energy of one pulse";
        case Held::power:
            return "the power it turns to heat";
        case Held::temperature:
            return "the temperature of its place";
        case Held::size:
            return "the size of what is wired to it";
        case Held::use:
            return "what it is used for";
    }
    return {};
}

}  // namespace loomward
