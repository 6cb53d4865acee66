// Use that devices and limits do not bear: surges, heat and frost, and short circuits.
#include <fmt/format.h>

#include <algorithm>

#include "checker/currents/loading.hpp"
#include "checker/currents/witness.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/rules/rule_support.hpp"
#include "tests/checker/planted.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

// The most that flows in one direction for long in any mode, A.
double sustained_one_way_A(const Sound& sound, EdgeId edge, int sign) {
    double most_A = 0;
    for (const Course& course : usable_courses(sound.results.points))
        most_A = std::max(most_A, load_of(course, 3600, edge, sign).current_A);
    return most_A;
}

// The smallest rating of the fuses and breakers on the way to a load, A; 0 where there is none.
double smallest_rating_A(const Sound& sound, EdgeId load) {
    double least_A = 0;
    for (const OperatingPoint& point : sound.results.points) {
        if (!point.usable() || point.edge_A[load.index()] < 1e-3) continue;
        for (const EdgeId step : trace_current(sound.circuit(), point, load).edges) {
            const Edge& edge = sound.circuit().edge(step);
            if (edge.role != EdgeRole::fuse && edge.role != EdgeRole::breaker) continue;
            const double rated_A = sound.value(edge.part, "(rated-current)"_attr)->hi;
            least_A = least_A > 0 ? std::min(least_A, rated_A) : rated_A;
        }
    }
    return least_A;
}

// Twenty times what the fuse is rated, for ten seconds. What a converter feeds gets no more than its limit.
std::vector<Plant> inrush(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::load})) {
        const EdgeId load = sound.edge_of(id, EdgeRole::load);
        if (!sound.leads_to_a_pack(sound.circuit().edge(load).from)) continue;
        const double rated_A = smallest_rating_A(sound, load);
        if (rated_A <= 0) continue;
        const std::string name(sound.part(id).name);
        plants.push_back(
            {name,
             with_attribute(sound, id, "inrush"_attr, fmt::format("inrush {:.1f} A for 10 s", 20 * rated_A)),
             {"nuisance-trip"},
             {name}});
    }
    return plants;
}

// A third of what flows at one end of the ambients, and plenty 15 K milder.
std::vector<Plant> limited_at_an_end(const Sound& sound, PartKind kind, EdgeRole role, Attr attribute,
                                     bool hot) {
    std::vector<Plant> plants;
    const Facts facts(*sound.harness);
    for (const PartId id : sound.parts({kind})) {
        const EdgeId edge = sound.edge_of(id, role);
        if (!edge) continue;
        const bool turned = role == EdgeRole::trip &&
                            sound.harness->terminal(sound.circuit().edge(edge).from_terminal).role ==
                                TerminalRole::battery_minus;
        const double flows_A = sustained_one_way_A(sound, edge, turned ? -1 : 1);
        if (flows_A < 0.1) continue;
        const Quantity ambient = facts.ambient(id);
        const double end_degC = hot ? ambient.hi : ambient.lo;
        const std::string_view word = info(attribute).name;
        const std::string written = fmt::format("{} {:.0f} degC {:.3f} A, {} {:.0f} degC 900 A", word,
                                                end_degC, flows_A / 3, word, end_degC + (hot ? -15 : 15));
        const std::string name(sound.part(id).name);
        plants.push_back(
            {name, with_attribute(sound, id, attribute, written), {"limit-at-temperature"}, {name}});
    }
    return plants;
}
std::vector<Plant> pack_in_the_heat(const Sound& sound) {
    return limited_at_an_end(sound, PartKind::pack, EdgeRole::emf, "discharge-at"_attr, true);
}
std::vector<Plant> bms_in_the_cold(const Sound& sound) {
    return limited_at_an_end(sound, PartKind::bms, EdgeRole::trip, "discharge-at"_attr, false);
}
std::vector<Plant> controller_in_the_heat(const Sound& sound) {
    return limited_at_an_end(sound, PartKind::controller, EdgeRole::controller, "supply-at"_attr, true);
}

// Rated for what flows at the temperature of its rating, and no more, where it gets warmer than that.
std::vector<Plant> fuse_for_the_mild(const Sound& sound) {
    std::vector<Plant> plants;
    const Facts facts(*sound.harness);
    for (const PartId id : sound.parts({PartKind::fuse})) {
        const double flows_A = sound.sustained_of(id);
        const auto rated = rated_at(facts, id, facts.ambient(id).hi);
        if (flows_A < 0.05 || !rated || rated->current_A > 0.98 * rated->stated_A) continue;
        const std::string name(sound.part(id).name);
        plants.push_back(
            {name,
             with_attribute(sound, id, "(rated-current)"_attr, fmt::format("{:.4f} A", flows_A / 0.8 * 1.01)),
             {"overloaded-fuse"},
             {name}});
    }
    return plants;
}

std::vector<Plant> lead_fuse_breaks_too_little(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::fuse, PartKind::breaker})) {
        const std::string name(sound.part(id).name);
        plants.push_back({name,
                          with_attribute(sound, id, "breaks"_attr, "breaks 2 A at 200 V dc"),
                          {"fuse-breaking-capacity"},
                          {name}});
    }
    return plants;
}

}  // namespace

std::vector<Kind> load_kinds() {
    return {{"inrush that a device does not bear", inrush},
            {"pack limited in the heat", pack_in_the_heat},
            {"battery management limited in the cold", bms_in_the_cold},
            {"controller limited in the heat", controller_in_the_heat},
            {"fuse sized for the mild", fuse_for_the_mild},
            {"fuse that breaks too little", lead_fuse_breaks_too_little}};
}

}  // namespace planted
