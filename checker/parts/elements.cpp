#include "checker/parts/elements.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "checker/tables/conductors.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double least_ohm = 1e-7;  // keeps bolted joints in the numbers without spoiling them

double end_of(const Quantity& spread, bool largest) {
    return largest ? spread.hi : spread.lo;
}

double stated_or(const Facts& facts, PartId part, Attr name, bool largest, double otherwise) {
    const std::optional<Quantity> found = facts.quantity(part, name);
    return found ? end_of(*found, largest) : otherwise;
}

// Contacts count as nothing at fault-max: the least resistance that is possible.
double contact_ohm(const Facts& facts, PartId part, Attr name, Corner corner, double otherwise) {
    if (corner == Corner::fault_max) return 0;
    return stated_or(facts, part, name, takes_largest_resistance(corner), otherwise);
}

double wire_ohm(const Facts& facts, const Wire& wire, Corner corner, double conductor_degC) {
    const bool largest = takes_largest_resistance(corner);
    const double area_mm2 = wire.area.is_known() ? end_of(wire.area, !largest) : 1;
    const double length_m = wire.length.is_known() ? end_of(wire.length, largest) : 0;
    // What is in the conductor is copper of the standard's resistivity; what the standard allows comes on
    // top.
    const double per_m = largest ? resistance_ohm_per_m(area_mm2, wire.aluminium)
                                 : smallest_resistance_ohm_per_m(area_mm2, wire.aluminium);
    const double conductor = at_temperature(per_m * length_m, conductor_degC, wire.aluminium) / wire.parallel;
    const double ends = corner == Corner::fault_max ? 0 : 2 * facts.policy("joint-resistance"_attr).hi;
    return conductor + ends;
}

double fuse_ohm(const Facts& facts, const Edge& edge, Corner corner) {
    const std::optional<Quantity> stated = facts.quantity(edge.part, "resistance"_attr);
    if (stated) return end_of(*stated, takes_largest_resistance(corner));
    const std::optional<Quantity> rated = facts.quantity(edge.part, "(rated-current)"_attr);
    if (!rated || rated->lo <= 0) return 0;
    facts.assume("resistance of a fuse or breaker", "0.1 V / rated current", "no source",
                 facts.harness().part(edge.part).name);
    return corner == Corner::fault_max ? 0 : 0.1 / rated->lo;
}

double connector_ohm(const Facts& facts, const Edge& edge, Corner corner) {
    const std::optional<Quantity> stated = facts.quantity(edge.part, "contact-resistance"_attr);
    if (corner == Corner::fault_max) return 0;
    if (stated) return end_of(*stated, takes_largest_resistance(corner));
    const std::optional<Quantity> carries = facts.quantity(edge.part, "carries"_attr);
    const bool small = carries && carries->lo <= 10;
    facts.assume("contact-resistance of a connector", small ? "1 mohm" : "0.5 mohm", "no source",
                 facts.harness().part(edge.part).name);
    return small ? 1e-3 : 0.5e-3;
}

double coil_ohm(const Facts& facts, const Edge& edge) {
    const std::optional<Quantity> volts = facts.quantity(edge.part, "coil"_attr, 0);
    const std::optional<Quantity> amps = facts.quantity(edge.part, "coil"_attr, 1);
    return volts && amps && amps->hi > 0 ? volts->lo / amps->hi : 1e6;
}

double driver_ohm(const Circuit& circuit, const Facts& facts, const Edge& edge) {
    // A driver that is on drops a tenth of a volt at what it is rated for.
    facts.assume("drop of a driver pin", "0.1 V at its rated current", "no source",
                 facts.harness().part(edge.part).name);
    const auto rated = pin_current(*circuit.harness, pin_of(*circuit.harness, edge));
    return rated && rated->lo > 0 ? 0.1 / rated->lo : 0.1;
}

std::optional<Quantity> known(const Value& value) {
    if (!value.present() || value.known == Knowledge::unknown) return std::nullopt;
    return value.quantity();
}

int cells_below(const Circuit& circuit, TerminalId terminal, int otherwise) {
    const Terminal& each = circuit.harness->terminal(terminal);
    if (each.role == TerminalRole::minus) return 0;
    return each.role == TerminalRole::tap ? each.number : otherwise;
}

}  // namespace

const DevicePin& pin_of(const Harness& harness, const Edge& edge) {
    return harness.pins_of(edge.part)[edge.way];
}
std::optional<Quantity> pin_voltage(const Harness& harness, const DevicePin& pin) {
    return known(harness.voltage_of(pin));
}
std::optional<Quantity> pin_current(const Harness& harness, const DevicePin& pin) {
    return known(harness.current_of(pin));
}
std::optional<Quantity> pin_current(const Harness& harness, TerminalId terminal) {
    const DevicePin* pin = harness.pin_at(terminal);
    return pin ? pin_current(harness, *pin) : std::nullopt;
}

std::optional<Output> output_of(const Facts& facts, const Edge& edge) {
    if (edge.role == EdgeRole::output_pin) {
        const DevicePin& pin = pin_of(facts.harness(), edge);
        const auto volts = pin_voltage(facts.harness(), pin), amps = pin_current(facts.harness(), pin);
        if (!volts || !amps) return std::nullopt;
        return Output{volts->lo, amps->hi};
    }
    const Attr output = output_attribute(facts.harness(), edge.part);
    const auto volts = facts.quantity(edge.part, output, 0);
    const auto amps = facts.quantity(edge.part, output, 1);
    if (!volts || !amps) return std::nullopt;
    return Output{volts->lo, amps->hi};
}

Attr output_attribute(Kind kind) {
    return kind == Kind::inverter ? "charges"_attr : "output"_attr;
}
Attr output_attribute(const Harness& harness, PartId part) {
    return output_attribute(harness.part(part).kind);
}

bool takes_largest_resistance(Corner corner) {
    return corner == Corner::run_hot || corner == Corner::fault_min;
}

bool is_closed(const Circuit& circuit, const Mode& mode, const Edge& edge) {
    if (!edge.part) return true;
    const State& state = mode.states[edge.part.index()];
    switch (edge.role) {
        case EdgeRole::contact:
            return state.posture != Posture::unmated;
        case EdgeRole::switching: {
            const Kind kind = circuit.harness->part(edge.part).kind;
            if (kind == Kind::selector)
                return state.posture == Posture::at_position && state.position == edge.way;
            if (kind == Kind::relay) return (state.posture == Posture::energised) == (edge.throw_ == 0);
            return state.posture == Posture::closed;
        }
        case EdgeRole::fuse:
        case EdgeRole::breaker:
        case EdgeRole::trip:
        case EdgeRole::protector:
            return state.posture != Posture::open;
        case EdgeRole::low_side:
        case EdgeRole::high_side: {
            const TerminalId pin = edge.role == EdgeRole::low_side ? edge.from_terminal : edge.to_terminal;
            const auto& pins = circuit.harness->driver_pins;
            const auto found = std::lower_bound(pins.begin(), pins.end(), pin);
            return found != pins.end() && *found == pin &&
                   mode.pin_states[static_cast<std::size_t>(found - pins.begin())].posture == Posture::on;
        }
        default:
            return true;
    }
}

std::vector<bool> open_in(const Circuit& circuit, const Mode& mode) {
    std::vector<bool> open(circuit.edges.size());
    for (std::size_t i = 0; i < open.size(); ++i) open[i] = !is_closed(circuit, mode, circuit.edges[i]);
    return open;
}

bool delivers(const Mode& mode, PartId part) {
    const std::int32_t profile = mode.states[part.index()].profile;
    return profile >= 0 && mode.profiles[static_cast<std::size_t>(profile)].flow == Flow::delivers;
}

double resistance_ohm(const Circuit& circuit, const Facts& facts, const Edge& edge, Corner corner,
                      double conductor_degC) {
    double ohm = 0;
    switch (edge.role) {
        case EdgeRole::wire:
            ohm = wire_ohm(facts, circuit.harness->wire(edge.wire), corner, conductor_degC);
            break;
        case EdgeRole::joint:
            ohm = corner == Corner::fault_max ? 0 : facts.policy("joint-resistance"_attr).hi;
            break;
        case EdgeRole::contact:
            ohm = connector_ohm(facts, edge, corner);
            break;
        case EdgeRole::fuse:
        case EdgeRole::breaker:
            ohm = fuse_ohm(facts, edge, corner);
            break;
        case EdgeRole::switching:
            ohm = contact_ohm(facts, edge.part, "resistance"_attr, corner, 1e-3);
            break;
        case EdgeRole::trip:
        case EdgeRole::protector:
            ohm = stated_or(facts, edge.part, "resistance"_attr, takes_largest_resistance(corner), 0);
            break;
        case EdgeRole::shunt: {
            if (facts.quantity(edge.part, "(resistance)"_attr)) {
                ohm = stated_or(facts, edge.part, "(resistance)"_attr, takes_largest_resistance(corner), 0);
                break;
            }
            const auto drop = facts.quantity(edge.part, "drop"_attr);
            const auto rated = facts.quantity(edge.part, "(rated-current)"_attr);
            ohm = drop && rated && rated->lo > 0 ? drop->hi / rated->lo : 0;
            break;
        }
        case EdgeRole::resistor:
            ohm = stated_or(facts, edge.part, "(resistance)"_attr, takes_largest_resistance(corner), 1e6);
            break;
        case EdgeRole::coil:
            ohm = coil_ohm(facts, edge);
            break;
        case EdgeRole::low_side:
        case EdgeRole::high_side:
            ohm = driver_ohm(circuit, facts, edge);
            break;
        default:
            break;
    }
    return std::max(ohm, least_ohm);
}

std::optional<Quantity> pack_voltage(const Facts& facts, PartId pack) {
    if (const auto terminals = facts.quantity(pack, "voltage"_attr)) return terminals;
    const auto series = facts.count(pack, "cells"_attr, 0);
    const auto cell = facts.quantity(pack, "cell-voltage"_attr);
    if (!series || !cell) return std::nullopt;
    return Quantity{*series * cell->lo, *series * cell->hi, Dimension::voltage, cell->known};
}

namespace {

// Where nobody knows it: what packs of that size have, so that the rest of the harness is judged all the
// same. A short drives between 5 and 100 times the current that would empty it in an hour.
std::optional<Quantity> plausible_resistance(const Facts& facts, PartId pack, const Quantity& voltage) {
    std::optional<Quantity> hour = facts.quantity(pack, "capacity"_attr);
    const auto cell = facts.quantity(pack, "cell-capacity"_attr);
    const auto parallel = facts.count(pack, "cells"_attr, 1);
    if (cell && parallel) hour = Quantity{*parallel * cell->lo, *parallel * cell->hi};
    if (!hour) hour = facts.quantity(pack, "discharge"_attr);
    if (!hour || hour->lo <= 0 || voltage.lo <= 0) return std::nullopt;
    facts.assume("resistance of a pack that nobody knows",
                 "a short drives 5 to 100 times its capacity in an hour", "common practice, no source",
                 facts.harness().part(pack).name);
    return Quantity{voltage.hi / (100 * hour->hi), voltage.lo / (5 * hour->lo), Dimension::resistance,
                    Knowledge::assumed};
}

}  // namespace

std::optional<PackSection> pack_section(const Circuit& circuit, const Facts& facts, const Edge& edge,
                                        Corner corner) {
    const PartId pack = edge.part;
    const std::optional<Quantity> voltage = pack_voltage(facts, pack);
    const auto series = facts.count(pack, "cells"_attr, 0);
    const auto parallel = facts.count(pack, "cells"_attr, 1);
    std::optional<Quantity> resistance = facts.quantity(pack, "resistance"_attr);
    if (const auto cell = facts.quantity(pack, "cell-resistance"_attr);
        cell && series && parallel && *parallel > 0) {
        const double ratio = static_cast<double>(*series) / *parallel;
        const Quantity links = facts.quantity(pack, "link-resistance"_attr).value_or(Quantity{});
        resistance = Quantity{ratio * cell->lo + links.lo, ratio * cell->hi + links.hi, Dimension::resistance,
                              cell->known};
    }
    if (voltage && !resistance) resistance = plausible_resistance(facts, pack, *voltage);
    if (!voltage || !resistance) return std::nullopt;
    const bool full = corner == Corner::fault_max || corner == Corner::run_full;
    const bool largest = takes_largest_resistance(corner);
    double ohm = end_of(*resistance, largest);
    // Who says how far the pack may age means the machine to work until then.
    const bool says_its_age =
        facts.harness().find(facts.harness().part(pack).attributes, "aged-resistance"_attr) != nullptr;
    if (corner == Corner::fault_min || (corner == Corner::run_hot && says_its_age))
        ohm *= facts.quantity(pack, "aged-resistance"_attr).value_or(Quantity{150, 150}).hi / 100;
    // A section between taps has its share of the cells. Terminal data say nothing of cells: 4.2 V each when
    // full.
    const int cells = series ? *series : std::max(1, static_cast<int>(std::lround(voltage->hi / 4.2)));
    const int below = cells_below(circuit, edge.from_terminal, 0);
    const int above = cells_below(circuit, edge.to_terminal, cells);
    const double share = std::clamp(static_cast<double>(above - below) / cells, 0.0, 1.0);
    if (share < 1 && !series)
        facts.assume("cells of a pack that is described at its terminals", "4.2 V each when full",
                     "no source", facts.harness().part(pack).name);
    return PackSection{(full ? voltage->hi : voltage->lo) * share, std::max(ohm * share, least_ohm)};
}

std::optional<Setting> phase_limit(const Facts& facts, PartId controller) {
    const auto peak = facts.quantity(controller, "phase-peak"_attr);
    const auto percent = facts.quantity(controller, "phase-limit"_attr);
    if (!peak || !percent) return std::nullopt;
    const double amps = peak->hi * percent->hi / 100;
    return Setting{amps, to_text(amps, Dimension::current) + " = " + to_text(peak->hi, Dimension::current) +
                             " x " + to_text(percent->hi, Dimension::percentage)};
}

std::optional<double> rated_input_W(const Facts& facts, PartId inverter) {
    const auto power = facts.quantity(inverter, "(power)"_attr);
    if (!power) return std::nullopt;
    return power->hi / (facts.quantity(inverter, "efficiency"_attr).value_or(Quantity{80, 80}).lo / 100);
}

namespace {

// An inverter takes its rated power whatever its supply has: most at the lowest voltage it works at.
// It works down to the lower end of its input, and its pack seldom falls so far: the lowest of any pack, less
// what is lost on the way (10 %, no source). One that does not fit its input does not feed it.
double lowest_input_V(const Facts& facts, const Quantity& input) {
    double lowest_V = 1e9;
    for (std::size_t i = 0; i < facts.harness().parts.size(); ++i)
        if (facts.harness().parts[i].kind == Kind::pack) {
            const auto voltage = pack_voltage(facts, PartId(i));
            lowest_V = std::min(lowest_V, voltage ? voltage->lo : 0);
        }
    constexpr double left = 0.9;
    return left * lowest_V > input.hi ? input.lo : std::max(input.lo, left * lowest_V);
}

// At the lowest that its pack has, or else that it works at.
std::optional<Setting> inverter_limit(const Facts& facts, PartId inverter, bool of_its_pack) {
    const auto power = facts.quantity(inverter, "(power)"_attr);
    const auto share = facts.quantity(inverter, "efficiency"_attr);
    const auto input = facts.quantity(inverter, "input"_attr);
    if (!power || !share || !input || share->lo <= 0 || input->lo <= 0) return std::nullopt;
    const double low_V = of_its_pack ? lowest_input_V(facts, *input) : input->lo;
    const double amps = *rated_input_W(facts, inverter) / low_V;
    return Setting{amps, to_text(amps, Dimension::current) + " = " + to_text(power->hi, Dimension::power) +
                             " / " + to_text(share->lo, Dimension::percentage) + " / " +
                             to_text(low_V, Dimension::voltage) +
                             (low_V > input->lo ? " (10 % below the lowest of the pack)" : "")};
}

}  // namespace

std::optional<Setting> supply_limit(const Facts& facts, PartId controller) {
    if (facts.harness().part(controller).kind == Kind::inverter)
        return inverter_limit(facts, controller, false);
    const auto stated = facts.quantity(controller, "supply-limit"_attr);
    if (!stated) return std::nullopt;
    if (stated->dimension != Dimension::percentage)
        return Setting{stated->hi, "supply-limit " + to_text(stated->hi, Dimension::current)};
    const auto phase = phase_limit(facts, controller);
    if (!phase) return std::nullopt;
    const double amps = phase->current_A * stated->hi / 100;
    const std::size_t equals = phase->working.find('=');
    return Setting{amps, to_text(amps, Dimension::current) + " " + phase->working.substr(equals) + " x " +
                             to_text(stated->hi, Dimension::percentage)};
}

std::optional<Setting> asked_of_supply(const Facts& facts, PartId controller) {
    return facts.harness().part(controller).kind == Kind::inverter ? inverter_limit(facts, controller, true)
                                                                   : supply_limit(facts, controller);
}

double conductor_limit_degC(const Facts& facts, WireId wire) {
    const double insulation_degC = facts.harness().wire(wire).insulation_limit_degC;
    const Value policy = facts.harness().value(facts.harness().policy, "hottest-conductor"_attr);
    return policy.present() && policy.known != Knowledge::unknown ? std::min(insulation_degC, policy.hi)
                                                                  : insulation_degC;
}

}  // namespace loomward
