// Mistakes with fuses, breakers and the wires they guard.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checker/currents/loading.hpp"
#include "checker/parts/capacities.hpp"
#include "tests/checker/planted.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

constexpr double thin_mm2 = 0.14;

std::vector<PartId> devices(const Sound& sound) {
    return sound.parts({PartKind::fuse, PartKind::breaker});
}

const Edge& ends_of(const Sound& sound, PartId device) {
    return sound.circuit().edge(sound.circuit().edges_of_part[device.index()].front());
}

std::vector<std::string> names_of(const Sound& sound, const std::vector<WireId>& wires) {
    std::vector<std::string> names;
    for (const WireId id : wires) names.emplace_back(sound.harness->wire(id).name);
    return names;
}

// The zones in which a device takes part.
std::vector<const ProtectionZone*> zones_of(const Sound& sound, PartId device, bool alone) {
    std::vector<const ProtectionZone*> list;
    for (const ProtectionZone& zone : sound.results.zones) {
        const bool takes_part = std::any_of(zone.devices.begin(), zone.devices.end(),
                                            [&](const ZoneGuard& guard) { return guard.part == device; });
        if (takes_part && (!alone || zone.devices.size() == 1)) list.push_back(&zone);
    }
    return list;
}

const ProtectionZone& zone_of(const Sound& sound, WireId wire) {
    for (const ProtectionZone& zone : sound.results.zones)
        if (std::find(zone.wires.begin(), zone.wires.end(), wire) != zone.wires.end()) return zone;
    throw std::logic_error("a wire in no zone");
}

bool touches(const Edge& edge, NodeId node) {
    return edge.from == node || edge.to == node;
}

// What can flow for long where the device begins: of wires at either end, or bolted to it, that it does not
// guard.
double before_A(const Sound& sound, PartId device) {
    std::vector<NodeId> nodes{ends_of(sound, device).from, ends_of(sound, device).to};
    for (const Edge& edge : sound.circuit().edges)
        for (std::size_t i = 0; i < 2; ++i)
            if (edge.role == EdgeRole::joint && touches(edge, nodes[i]))
                nodes.push_back(edge.from == nodes[i] ? edge.to : edge.from);
    double most_A = 0;
    for (std::size_t i = 0; i < sound.harness->wires.size(); ++i) {
        const Edge& wire = sound.circuit().edge(sound.circuit().edge_of_wire[i]);
        const ProtectionZone& zone = zone_of(sound, WireId(i));
        const bool own = std::any_of(zone.devices.begin(), zone.devices.end(),
                                     [&](const ZoneGuard& guard) { return guard.part == device; });
        if (!own && std::any_of(nodes.begin(), nodes.end(), [&](NodeId node) { return touches(wire, node); }))
            most_A = std::max(most_A, zone.current_A);
    }
    return most_A;
}

// The least that a wire may carry which this device guards; short taps to another device are not judged.
double weakest_A(const Sound& sound, PartId device, bool alone) {
    const Facts facts(*sound.harness);
    double least_A = unbounded_A;
    for (const ProtectionZone* zone : zones_of(sound, device, alone))
        for (const WireId id : zone->wires)
            if (sound.harness->wire(id).length.hi > 0.18)
                least_A = std::min(least_A,
                                   standing_ampacity(facts, id, sound.results.wires[id.index()]).current_A);
    return least_A;
}

// Nobody misses a device if its wires stand what the devices before it, or the limit of the converter that
// feeds it, let pass.
bool is_missed(const Sound& sound, PartId device, bool alone) {
    const double weakest = weakest_A(sound, device, alone);
    return weakest < unbounded_A && before_A(sound, device) > 1.45 * weakest * 1.02;
}

// A link in place of the device: somebody put a bolt in.
std::vector<Plant> replaced_by_a_link(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : devices(sound)) {
        if (!is_missed(sound, id, false)) continue;
        const std::string name(sound.part(id).name);
        std::string link = fmt::format(
            "switch {} {{ 1000 V dc, carries 1 kA, makes 1 kA, breaks 1 kA at 1000 V dc, rest closed }}",
            name);
        const Value holder = sound.harness->value(sound.part(id).attributes, "holder"_attr);
        if (holder.present())
            link += fmt::format("\nroute {}.in (direct) {}.in", holder.text.substr(0, holder.text.find('.')),
                                name);
        std::vector<std::string> wires;
        for (const ProtectionZone* zone : zones_of(sound, id, false))
            for (const std::string& wire : names_of(sound, zone->wires)) wires.push_back(wire);
        plants.push_back(
            {name, without_part(sound, id, link), {"unprotected-wire", "oversized-fuse"}, wires});
    }
    return plants;
}

std::vector<Plant> bypassed(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : devices(sound)) {
        const Edge& ends = ends_of(sound, id);
        plants.push_back(
            {std::string(sound.part(id).name),
             with_lines(sound, fmt::format("route {} (W900 16 mm2, 0.2 m, red) {}\n",
                                           sound.path(ends.from_terminal), sound.path(ends.to_terminal))),
             {"bypassed-fuse"},
             {std::string(sound.part(id).name)}});
    }
    return plants;
}

// Just too large for the weakest wire that it alone guards.
std::vector<Plant> oversized(const Sound& sound) {
    std::vector<Plant> plants;
    const Facts facts(*sound.harness);
    for (const PartId id : devices(sound)) {
        const auto rated = sound.value(id, "(rated-current)"_attr);
        // One known by its own points opens where they say, whatever is printed on it.
        if (sound.harness->find(sound.part(id).attributes, "point"_attr)) continue;
        if (!rated || !is_missed(sound, id, true)) continue;
        const double factor = operating_current(facts, id).current_A / rated->hi;
        const double next_A = std::ceil(1.45 * weakest_A(sound, id, true) * 1.02 / factor);
        plants.push_back({std::string(sound.part(id).name),
                          with_attribute(sound, id, "(rated-current)"_attr, fmt::format("{} A", next_A)),
                          {"oversized-fuse"},
                          {std::string(sound.part(id).name)}});
    }
    return plants;
}

std::vector<Plant> with_each_device(const Sound& sound, Attr attribute, const std::string& written,
                                    const std::string& rule) {
    std::vector<Plant> plants;
    for (const PartId id : devices(sound))
        plants.push_back({std::string(sound.part(id).name),
                          with_attribute(sound, id, attribute, written),
                          {rule},
                          {std::string(sound.part(id).name)}});
    return plants;
}
std::vector<Plant> fuse_voltage_too_low(const Sound& sound) {
    return with_each_device(sound, "(operational-voltage)"_attr, "6 V dc", "fuse-voltage");
}
std::vector<Plant> fuse_for_ac(const Sound& sound) {
    return with_each_device(sound, "(operational-voltage)"_attr, "500 V ac", "fuse-voltage");
}
// Whether the load behind the device returns through a driver pin. A short is studied between a wire and the
// other pole of what it feeds: there the pin limits it.
bool returns_through_a_driver(const Sound& sound, PartId device) {
    const auto& pins = sound.harness->driver_pins;
    const auto& wires = sound.harness->wires;
    const auto feeds = [&](PartId load) {
        for (const ProtectionZone* zone : zones_of(sound, device, false))
            for (const WireId id : zone->wires)
                if (sound.harness->terminal(wires[id.index()].to).part == load) return true;
        return false;
    };
    return std::any_of(wires.begin(), wires.end(), [&](const Wire& wire) {
        const PartId from = sound.harness->terminal(wire.from).part;
        return sound.part(from).kind == PartKind::load &&
               std::find(pins.begin(), pins.end(), wire.to) != pins.end() && feeds(from);
    });
}
std::vector<Plant> breaks_too_little(const Sound& sound) {
    std::vector<Plant> plants;
    for (Plant& plant :
         with_each_device(sound, "breaks"_attr, "breaks 1 A at 200 V dc", "fuse-breaking-capacity"))
        if (!returns_through_a_driver(sound, *sound.harness->find_part(plant.place)))
            plants.push_back(std::move(plant));
    return plants;
}
std::vector<Plant> fuse_unknown(const Sound& sound) {
    return with_each_device(sound, "(rated-current)"_attr, "unknown A", "missing-data");
}

std::vector<Plant> fuse_too_small(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : devices(sound)) {
        const double sustained_A = sound.sustained_of(id);
        if (sustained_A < 0.05) continue;  // carries nothing worth a fuse in any mode
        plants.push_back(
            {std::string(sound.part(id).name),
             with_attribute(sound, id, "(rated-current)"_attr, fmt::format("{:.4f} A", sustained_A / 2)),
             {"overloaded-fuse"},
             {std::string(sound.part(id).name)}});
    }
    return plants;
}

std::vector<Plant> thin_wires(const Sound& sound, bool carrying_back) {
    std::vector<Plant> plants;
    for (const WireId id : sound.wires()) {
        const Wire& wire = sound.harness->wire(id);
        const EdgeId edge = sound.circuit().edge_of_wire[id.index()];
        const ProtectionZone& zone = zone_of(sound, id);
        const double sustained_A = sound.sustained_A[edge.index()];
        // Where no device guards, and on a short tap to the next device, only what it carries counts.
        const bool judged = std::isfinite(zone.current_A) && wire.length.hi > 0.18;
        const double most_A = judged ? std::max(sustained_A, zone.current_A) : sustained_A;
        const bool black = wire.colour == Colour::black;
        if (black != carrying_back || most_A < 8) continue;  // 0.14 mm2 stands less than that anywhere
        const std::string name(wire.name);
        plants.push_back({name,
                          with_wire_field(sound, id, 0, fmt::format("{} mm2", thin_mm2)),
                          {"overloaded-wire", "oversized-fuse"},
                          {name}});
    }
    return plants;
}
std::vector<Plant> thin_feed(const Sound& sound) {
    return thin_wires(sound, false);
}
std::vector<Plant> thin_return(const Sound& sound) {
    return thin_wires(sound, true);
}

std::vector<Plant> thin_jumper(const Sound& sound) {
    std::vector<Plant> plants;
    for (const WireId id : sound.wires()) {
        const Wire& wire = sound.harness->wire(id);
        const ProtectionZone& zone = zone_of(sound, id);
        const bool guarded = zone.guard == ProtectionZone::Guard::devices;
        if (!guarded || zone.current_A < 8 || !wire.area.is_known() ||
            wire.name.find('.') != std::string_view::npos)
            continue;
        plants.push_back(
            {std::string(wire.name),
             with_lines(sound, fmt::format("route {} (W900 {} mm2, {} m, red) {}\n", sound.path(wire.from),
                                           thin_mm2, wire.length.hi, sound.path(wire.to))),
             {"parallel-conductors"},
             {"W900"}});
    }
    return plants;
}

std::vector<Plant> long_lead_from_the_pack(const Sound& sound) {
    std::vector<Plant> plants;
    for (const WireId id : sound.wires()) {
        if (zone_of(sound, id).guard != ProtectionZone::Guard::short_leads) continue;
        const std::string name(sound.harness->wire(id).name);
        plants.push_back({name, with_wire_field(sound, id, 1, "2 m"), {"unprotected-wire"}, {name}});
    }
    return plants;
}

}  // namespace

std::vector<Kind> protection_kinds() {
    return {{"fuse replaced by a link", replaced_by_a_link},
            {"fuse bypassed by a wire", bypassed},
            {"fuse too large for its wires", oversized},
            {"fuse too small for its load", fuse_too_small},
            {"fuse voltage too low", fuse_voltage_too_low},
            {"fuse for ac", fuse_for_ac},
            {"fuse breaks too little", breaks_too_little},
            {"fuse of unknown rating", fuse_unknown},
            {"feed too thin", thin_feed},
            {"return too thin", thin_return},
            {"thin jumper beside a wire", thin_jumper},
            {"long lead from the pack to its fuse", long_lead_from_the_pack}};
}

}  // namespace planted
