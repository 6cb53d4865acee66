#include "checker/faults/fault_races.hpp"

#include <algorithm>
#include <cmath>

#include "checker/faults/fault_way.hpp"
#include "checker/tables/protection.hpp"

namespace loomward {

using namespace literals;

namespace {

// IEC 60269-2: fuses of class gG at 1.6 : 1.
bool is_gg_pair(const Facts& facts, PartId near, PartId far) {
    const auto rated = [&](PartId part) {
        return facts.quantity(part, "(rated-current)"_attr).value_or(Quantity{}).hi;
    };
    const auto gg = [&](PartId part) { return facts.word(part, "curve"_attr) == "iec60269-gg"; };
    return gg(near) && gg(far) && is_selective_gg_pair(rated(far), rated(near));
}

}  // namespace

std::vector<DeviceOnWay> devices_on(const Circuit& circuit, const FaultWay& way, const FaultStory& story) {
    std::vector<DeviceOnWay> devices;
    for (const auto* edges : {&way.out, &way.back})
        for (const EdgeId id : *edges) {
            const Edge& edge = circuit.edge(id);
            if (!is_protective(edge.role)) continue;
            const auto stress = std::find_if(story.stress.begin(), story.stress.end(),
                                             [&](const FaultStress& each) { return each.edge == id; });
            devices.emplace_back(edge.part, std::abs(stress->first_A));
        }
    return devices;
}

std::vector<FaultRace> find_races(const Facts& facts, const FaultTeller::Setting& setting,
                                  const std::vector<DeviceOnWay>& devices) {
    std::vector<FaultRace> races;
    for (std::size_t i = 1; i < devices.size(); ++i) {
        const Band& near = setting.bands[devices[0].first.index()];
        const Band& far = setting.bands[devices[i].first.index()];
        if (near.slow.empty() || far.slow.empty()) continue;
        FaultRace race{devices[0].first,
                       devices[i].first,
                       devices[0].second,
                       devices[i].second,
                       near.slow_s(devices[0].second),
                       far.fast_s(devices[i].second).value_or(0),
                       far.slow_s(devices[i].second),
                       false};
        if (race.near_slow_s <= race.far_fast_s || is_gg_pair(facts, race.near, race.far)) continue;
        race.lost = race.far_slow_s < near.fast_s(race.near_A).value_or(race.near_slow_s);
        races.push_back(race);
    }
    return races;
}

}  // namespace loomward
