#include "checker/failures/bridged_guards.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace loomward {
namespace {

// Short circuits that are followed once more, over all devices; at least so many of one.
constexpr std::size_t affordable_faults = 8000;
constexpr std::size_t least_faults = 32;

// All of them where they are few; else from the largest current to the smallest, both ends in.
std::vector<const FaultOutcome*> some_of(std::vector<const FaultOutcome*> all, std::size_t most) {
    std::stable_sort(all.begin(), all.end(), [](const FaultOutcome* a, const FaultOutcome* b) {
        return a->prospective_A > b->prospective_A;
    });
    if (all.size() <= most) return all;
    std::vector<const FaultOutcome*> some;
    for (std::size_t i = 0; i < most; ++i) some.push_back(all[i * (all.size() - 1) / (most - 1)]);
    return some;
}

std::set<WireId> burnt_in(const Circuit& circuit, const FaultStory& story) {
    std::set<WireId> wires;
    for (const FaultEvent& event : story.events)
        if (event.kind == FaultEvent::Kind::damaged && circuit.edge(event.edge).wire)
            wires.insert(circuit.edge(event.edge).wire);
    return wires;
}

}  // namespace

std::vector<BridgedGuard> bridged_guards(const Circuit& circuit, const FaultStudy& study) {
    std::map<PartId, std::vector<const FaultOutcome*>> by_device;
    for (const FaultOutcome& outcome : study.survey().outcomes)
        if (outcome.first) by_device[circuit.edge(outcome.first).part].push_back(&outcome);
    std::vector<BridgedGuard> found;
    const std::size_t most =
        std::max(least_faults, affordable_faults / std::max<std::size_t>(1, by_device.size()));
    for (const auto& [part, outcomes] : by_device) {
        BridgedGuard guard;
        guard.part = part;
        guard.asked = true;
        std::map<WireId, BridgedGuard::Burnt> burnt;
        const PartId bridged[] = {part};
        double soonest_s = INFINITY;
        const std::vector<const FaultOutcome*> faults = some_of(outcomes, most);
        guard.shorts = outcomes.size();
        guard.tried = faults.size();
        for (const FaultOutcome* outcome : faults) {
            const FaultPlace& place = study.survey().places[outcome->place];
            const auto whole = study.tell(place, outcome->corner, outcome->position);
            const auto without =
                study.tell(place, outcome->corner, outcome->position, FaultTeller::BandEdge::slow, bridged);
            if (!whole || !without) continue;
            const std::set<WireId> anyway = burnt_in(circuit, *whole);
            for (const FaultEvent& event : without->events) {
                const WireId wire = circuit.edge(event.edge).wire;
                if (event.kind != FaultEvent::Kind::damaged || !wire || anyway.contains(wire)) continue;
                BridgedGuard::Burnt& entry =
                    burnt.try_emplace(wire, BridgedGuard::Burnt{wire, INFINITY, 0}).first->second;
                guard.ends = guard.ends && std::isfinite(without->ends_s);
                if (event.time_s >= entry.after_s) continue;
                entry.after_s = event.time_s;
                entry.current_A = event.current_A;
                if (event.time_s >= soonest_s) continue;
                soonest_s = event.time_s;
                guard.opens = {};
                for (const FaultEvent& other : without->events)
                    if (other.kind == FaultEvent::Kind::opens) {
                        guard.opens = circuit.edge(other.edge).part;
                        break;
                    }
            }
        }
        for (const auto& [wire, entry] : burnt) guard.burnt.push_back(entry);
        std::stable_sort(guard.burnt.begin(), guard.burnt.end(),
                         [](const auto& a, const auto& b) { return a.after_s < b.after_s; });
        found.push_back(std::move(guard));
    }
    return found;
}

}  // namespace loomward
