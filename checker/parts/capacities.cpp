#include "checker/parts/capacities.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/protectors.hpp"
#include "checker/tables/protection.hpp"
#include "checker/tables/sources.hpp"

namespace loomward {

using namespace literals;

namespace {

// The largest sum of full voltages that could stand across a resistor: every pack in series, or one charger.
double highest_voltage_V(const Facts& facts) {
    double highest = 0, packs = 0;
    for (std::size_t i = 0; i < facts.harness().parts.size(); ++i) {
        const Kind kind = facts.harness().parts[i].kind;
        if (kind == Kind::pack)
            if (const auto voltage = pack_voltage(facts, PartId(i))) packs += voltage->hi;
        if (kind == Kind::charger || kind == Kind::converter || kind == Kind::inverter)
            if (const auto voltage = facts.quantity(PartId(i), output_attribute(kind)))
                highest = std::max(highest, voltage->hi);
    }
    return std::max(highest, packs);
}

// The current of a pin that supplies or drives, by its own line.
double pin_current_A(const Circuit& circuit, const Edge& edge) {
    const auto rated = pin_current(*circuit.harness, pin_of(*circuit.harness, edge));
    return rated ? rated->hi : unbounded_A;
}

double limit_or(const Facts& facts, PartId part, Attr first, Attr second, std::size_t place) {
    if (const auto stated = facts.quantity(part, first)) return stated->hi;
    if (const auto rated = facts.quantity(part, second, place)) return rated->hi;
    return unbounded_A;
}

// Within this a fuse has to be open at its fusing current, s (IEC 60269-1 Table 2, memory).
double conventional_time_s(double rated_A) {
    return 3600.0 * (rated_A <= 63 ? 1 : rated_A <= 160 ? 2 : rated_A <= 400 ? 3 : 4);
}

// The least current at which its own points have a device open within its conventional time. A single time is
// the middle of a band that may be 10 % off in current.
std::optional<OperatingCurrent> by_own_points(const Facts& facts, PartId device) {
    constexpr double curve_tolerance = 0.1;
    const Harness& harness = facts.harness();
    const auto rated = facts.quantity(device, "(rated-current)"_attr);
    std::optional<OperatingCurrent> least;
    for (const bool in_time : {true, false}) {
        for (const Attribute& attribute : harness.attributes_of(harness.part(device).attributes)) {
            if (attribute.name != "point"_attr) continue;
            const auto values = harness.values_of(attribute);
            if (values[0].known == Knowledge::unknown || values[1].known == Knowledge::unknown) continue;
            if (in_time && values[1].hi > conventional_time_s(rated ? rated->hi : 0)) continue;
            const bool single = values[1].lo >= values[1].hi;
            const double current_A = values[0].hi * (single ? 1 + curve_tolerance : 1);
            if (least && least->current_A <= current_A) continue;
            least = OperatingCurrent{current_A,
                                     (single ? "1.1 x " : "") + to_text(values[0].hi, Dimension::current) +
                                         " by its own point of " + to_text(values[1].hi, Dimension::time),
                                     single ? "the part's own points; 10 % in current, IEC 60269-3-1 5.6.1"
                                            : "the part's own points"};
        }
        if (least) break;
    }
    return least;
}

}  // namespace

double trip_current_A(const Facts& facts, PartId device) {
    double lowest = unbounded_A;
    const Harness& harness = facts.harness();
    // Who opens a latching contactor needs a supply for that.
    if (const PartId driven = harness.part(device).drives; driven && is_latching(harness, driven))
        return lowest;
    for (const Attribute& attribute : harness.attributes_of(harness.part(device).attributes)) {
        if (attribute.name != "trips"_attr) continue;
        const Value& threshold = harness.values_of(attribute)[0];
        if (threshold.known != Knowledge::unknown) lowest = std::min(lowest, threshold.hi);
    }
    return lowest;
}

double factor_of_unknown_family(Kind kind) {
    return kind == Kind::breaker ? 1.45 : 1.6;
}

OperatingCurrent operating_current(const Facts& facts, PartId device) {
    if (auto own = by_own_points(facts, device)) return *own;
    const auto rated = facts.quantity(device, "(rated-current)"_attr);
    if (!rated) return {unbounded_A, "rated current not known", ""};
    const std::string_view family = facts.word(device, "curve"_attr);
    if (const auto conventional = conventional_currents(family, rated->hi)) {
        const double factor = conventional->fusing;
        return {factor * rated->hi,
                to_text(factor, Dimension::none) + " x " + to_text(rated->hi, Dimension::current),
                cite(conventional->source)};
    }
    const Kind kind = facts.harness().part(device).kind;
    const bool breaker = kind == Kind::breaker;
    const double factor = factor_of_unknown_family(kind);
    facts.assume("conventional operating current where the family is not known",
                 breaker ? "1.45 x rated current" : "1.6 x rated current",
                 breaker ? "IEC 60898-1" : "IEC 60269-1 Table 2 (memory)", facts.harness().part(device).name);
    return {factor * rated->hi,
            to_text(factor, Dimension::none) + " x " + to_text(rated->hi, Dimension::current),
            breaker ? "IEC 60898-1" : "IEC 60269-1 Table 2 (memory)"};
}

Capacities::Capacities(const Circuit& circuit, const Facts& facts)
    : circuit_(circuit),
      facts_(facts),
      way_back_(circuit.harness->parts.size(), false),
      highest_V_(highest_voltage_V(facts)) {
    find_way_back(circuit);
}

void Capacities::find_way_back(const Circuit& circuit) {
    DisjointSets supplies(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (edge.role != EdgeRole::converter_reverse && guard_A(edge, true) >= 0)
            supplies.join(edge.from.index(), edge.to.index());
    std::vector<std::uint32_t> sources_in(circuit.node_count(), 0);
    for (const Edge& edge : circuit.edges)
        if (is_source(edge.role)) ++sources_in[supplies.find(edge.to.index())];
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::converter_reverse && sources_in[supplies.find(edge.from.index())] > 1)
            way_back_[edge.part.index()] = true;
}

double Capacities::guard_A(const Edge& edge, bool electronics_count) const {
    switch (edge.role) {
        case EdgeRole::wire:
        case EdgeRole::joint:
        case EdgeRole::contact:
        case EdgeRole::switching:
        case EdgeRole::shunt:
        case EdgeRole::diode:
            return unbounded_A;
        case EdgeRole::converter_reverse:
            return way_back_[edge.part.index()] ? unbounded_A : -1;
        case EdgeRole::fuse:
        case EdgeRole::breaker:
            return operating_current(facts_, edge.part).current_A;
        case EdgeRole::trip:
            return electronics_count ? trip_current_A(facts_, edge.part) : unbounded_A;
        case EdgeRole::protector:
            return electronics_count && opens_in_a_short(facts_, edge.part)
                       ? trip_current_A(facts_, edge.part)
                       : unbounded_A;
        case EdgeRole::high_side:
            return electronics_count ? pin_current_A(circuit_, edge) : unbounded_A;
        case EdgeRole::resistor: {
            const auto ohm = facts_.quantity(edge.part, "(resistance)"_attr);
            return ohm && ohm->lo > 0 ? highest_V_ / ohm->lo : unbounded_A;
        }
        default:
            return -1;
    }
}

double Capacities::source_A(const Edge& edge) const {
    if (edge.role == EdgeRole::emf) return unbounded_A;
    if (edge.role == EdgeRole::output_pin) return pin_current_A(circuit_, edge);
    if (edge.role == EdgeRole::regeneration)
        return limit_or(facts_, edge.part, "regen"_attr, "regen"_attr, 0);
    return limit_or(facts_, edge.part, "short-circuit"_attr, output_attribute(*circuit_.harness, edge.part),
                    1);
}

}  // namespace loomward
