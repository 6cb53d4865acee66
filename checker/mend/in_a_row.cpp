#include "checker/mend/in_a_row.hpp"

#include <algorithm>
#include <vector>

#include "checker/mend/ladders.hpp"

namespace loomward {
namespace {

using namespace literals;

double rating_of(const Harness& harness, PartId part) {
    const Value rated = harness.value(harness.part(part).attributes, "(rated-current)"_attr);
    return rated.present() && rated.known != Knowledge::unknown ? rated.lo : 0;
}

bool opens_by_itself(const Harness& harness, PartId part) {
    return part && (harness.part(part).kind == Kind::fuse || harness.part(part).kind == Kind::breaker);
}

// By wire: the zone that it lies in; nullptr: none.
std::vector<const ProtectionZone*> zones_of_wires(const Results& results) {
    std::vector<const ProtectionZone*> zones(results.harness->wires.size(), nullptr);
    for (const ProtectionZone& zone : results.zones)
        for (const WireId wire : zone.wires) zones[wire.index()] = &zone;
    return zones;
}

// By terminal: another that it is bolted to, and so on; so that a fuse in a block has the lead of the block.
std::vector<NodeId> bolted(const Circuit& circuit, NodeId from) {
    std::vector<NodeId> found = {from};
    for (std::size_t i = 0; i < found.size(); ++i)
        for (const Incidence& next : circuit.at(found[i]))
            if (circuit.edge(next.edge).role == EdgeRole::joint &&
                std::find(found.begin(), found.end(), next.other) == found.end())
                found.push_back(next.other);
    return found;
}

bool guards(const ProtectionZone& zone, PartId device) {
    return std::any_of(zone.devices.begin(), zone.devices.end(),
                       [&](const ZoneGuard& guard) { return guard.part == device && !guard.limit; });
}

// The zone of the wires at a device that others guard.
const ProtectionZone* zone_before(const Results& results, const std::vector<const ProtectionZone*>& zones,
                                  PartId device) {
    const Circuit& circuit = results.circuit;
    for (const EdgeId id : circuit.edges_of_part[device.index()])
        for (const NodeId end : {circuit.edge(id).from, circuit.edge(id).to})
            for (const NodeId node : bolted(circuit, end))
                for (const Incidence& next : circuit.at(node)) {
                    const WireId wire = circuit.edge(next.edge).wire;
                    const ProtectionZone* zone = wire ? zones[wire.index()] : nullptr;
                    if (zone && zone->guard == ProtectionZone::Guard::devices && !guards(*zone, device))
                        return zone;
                }
    return nullptr;
}

}  // namespace

InARow rated_above_before(const Results& results) {
    const Harness& harness = *results.harness;
    const std::vector<const ProtectionZone*> zones = zones_of_wires(results);
    InARow found;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const PartId device(i);
        const double rated_A = rating_of(harness, device);
        if (!opens_by_itself(harness, device) || rated_A <= 0) continue;
        const ProtectionZone* zone = zone_before(results, zones, device);
        if (!zone) continue;
        SmallerBefore smaller{{}, 0, rated_A};
        bool all_known = true;
        for (const ZoneGuard& guard : zone->devices) {
            if (guard.limit || !opens_by_itself(harness, guard.part)) continue;
            const double before_A = rating_of(harness, guard.part);
            all_known = all_known && before_A > 0;
            smaller.before_A += before_A;
            smaller.before +=
                (smaller.before.empty() ? "" : ", ") + std::string(harness.part(guard.part).name);
        }
        if (all_known && smaller.before_A > 0 && rated_A > smaller.before_A * 1.001)
            found.emplace(harness.part(device).name, smaller);
    }
    return found;
}

InARow raised_above(const InARow& before, const InARow& after) {
    InARow raised;
    for (const auto& [device, smaller] : after)
        if (!before.contains(device)) raised.emplace(device, smaller);
    return raised;
}

Plan as_large_before(const InARow& raised, const Harness& harness) {
    Plan plan;
    for (const auto& [device, smaller] : raised) {
        const auto part = harness.find_part(smaller.before);
        const auto rated = step_up(fuse_ratings_A(), smaller.rated_A);
        if (!part || !rated) return {};
        Change change;
        change.key = {Verb::rating, smaller.before, "(rated-current)"_attr, Dimension::current};
        change.value = *rated;
        change.from = smaller.before_A;
        change.ladder = fuse_ratings_A();
        change.points = 2;
        plan.emplace(change.key, change);
    }
    return plan;
}

}  // namespace loomward
