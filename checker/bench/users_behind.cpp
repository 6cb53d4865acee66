// What a fuse or breaker is for: the users on the wires that it guards.
#include <algorithm>

#include "checker/bench/hand_over.hpp"
#include "checker/protection/protection_zones.hpp"

namespace loomward {

std::vector<PartId> users_behind(const Results& results, PartId device) {
    const Harness& harness = *results.circuit.harness;
    std::vector<PartId> users;
    for (const ProtectionZone& zone : results.zones) {
        const bool guards = std::any_of(zone.devices.begin(), zone.devices.end(),
                                        [&](const ZoneGuard& guard) { return guard.part == device; });
        if (!guards) continue;
        for (const WireId wire : zone.wires)
            for (const TerminalId end : {harness.wire(wire).from, harness.wire(wire).to}) {
                const PartId part = harness.terminal(end).part;
                const auto& edges = results.circuit.edges_of_part[part.index()];
                const bool uses_it = harness.part(part).kind == Kind::motor ||
                                     std::any_of(edges.begin(), edges.end(), [&](EdgeId id) {
                                         const EdgeRole role = results.circuit.edge(id).role;
                                         return uses_power(role) || role == EdgeRole::charger;
                                     });
                if (uses_it && std::find(users.begin(), users.end(), part) == users.end())
                    users.push_back(part);
            }
    }
    return users;
}

}  // namespace loomward
