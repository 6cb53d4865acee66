// Sources where they do not belong, and capacitors that are filled too late.
#include <fmt/format.h>

#include "checker/parts/elements.hpp"
#include "tests/checker/planted.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

double pack_full_V(const Sound& sound, PartId pack) {
    return pack_voltage(Facts(*sound.harness), pack)->hi;
}

// A second pack of the same voltage, with a fuse, behind each device that a pack is switched with.
struct Junction {
    PartId device;
    std::string plus, minus;
    double full_V = 0;
};
std::vector<Junction> behind_main_switches(const Sound& sound) {
    std::vector<Junction> list;
    for (const PartId id : sound.parts({PartKind::controller})) {
        const EdgeId supply = sound.edge_of(id, EdgeRole::controller);
        const Edge& edge = sound.circuit().edge(supply);
        list.push_back(
            {id, sound.path(edge.from_terminal), sound.path(edge.to_terminal), sound.across_V(supply)});
    }
    return list;
}
std::vector<Plant> second_pack(const Sound& sound) {
    std::vector<Plant> plants;
    for (const Junction& at : behind_main_switches(sound))
        plants.push_back(
            {std::string(sound.part(at.device).name),
             with_lines(
                 sound,
                 fmt::format("pack B900 {{ voltage {:.1f}..{:.1f} V, resistance 40 mohm, capacity 10 Ah, "
                             "discharge 90 A, charge 90 A }}\n"
                             "fuse F900 {{ 30 A, 200 V dc, breaks 6 kA at 200 V dc, curve iso8820-5 }}\n"
                             "route B900.+ (W900 16 mm2, 0.1 m, red) F900 (W901 16 mm2, 0.5 m, red) {}\n"
                             "route B900.- (W902 16 mm2, 0.5 m, black) {}\n",
                             at.full_V * 0.8, at.full_V, at.plus, at.minus)),
             {"back-feed"},
             {"B900"}});
    return plants;
}
std::vector<Plant> charger_behind_the_contactor(const Sound& sound) {
    std::vector<Plant> plants;
    for (const Junction& at : behind_main_switches(sound))
        plants.push_back(
            {std::string(sound.part(at.device).name),
             with_lines(
                 sound,
                 fmt::format("charger G900 {{ output {:.1f} V 5 A, reverse blocked }}\n"
                             "fuse F900 {{ 10 A, 200 V dc, breaks 6 kA at 200 V dc, curve iso8820-5 }}\n"
                             "route G900.+ (W900 4 mm2, 1 m, red) F900 (W901 4 mm2, 0.5 m, red) {}\n"
                             "route G900.- (W902 4 mm2, 1 m, black) {}\n",
                             at.full_V, at.plus, at.minus)),
             {"back-feed"},
             {"G900"}});
    return plants;
}
std::vector<Plant> second_pack_unfused(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : fed_loads(sound)) {
        const Poles poles = poles_of(sound, id);
        const double full_V = sound.across_V(sound.edge_of(id, EdgeRole::load));
        plants.push_back(
            {std::string(sound.part(id).name),
             with_lines(sound,
                        fmt::format("pack B900 {{ voltage {:.1f}..{:.1f} V, resistance 40 mohm, capacity "
                                    "10 Ah, discharge 90 A, charge 90 A }}\n"
                                    "route B900.+ (W900 2.5 mm2, 1 m, red) {}\n"
                                    "route B900.- (W901 2.5 mm2, 1 m, black) {}\n",
                                    full_V * 0.8, full_V, poles.plus, poles.minus)),
             {"unprotected-wire"},
             {"W900"}});
    }
    return plants;
}

// Straight onto the fused side of the pack, past every switch.
std::vector<Plant> load_past_the_switch(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::pack})) {
        const Poles poles = poles_of(sound, id);
        const double full_V = pack_full_V(sound, id);
        plants.push_back(
            {std::string(sound.part(id).name),
             with_lines(
                 sound,
                 fmt::format("fuse F900 {{ 10 A, 200 V dc, breaks 6 kA at 200 V dc, curve iso8820-5 }}\n"
                             "load H900 {{ {:.1f} V, 60 W, acts-as power, works {:.1f}..{:.1f} V }}\n"
                             "route {} (W900 2.5 mm2, 0.1 m, red) F900 (W901 2.5 mm2, 0.5 m, red) "
                             "H900 (W902 2.5 mm2, 0.5 m, black) {}\n",
                             full_V, full_V * 0.5, full_V * 1.1, poles.plus, poles.minus)),
             {"no-disconnect"},
             {"H900"}});
    }
    return plants;
}

// Every controller whose capacitors a mode fills before its main contact closes.
std::vector<Plant> after_is(const Sound& sound, const std::string& time,
                            const std::vector<std::string>& rules) {
    std::vector<Plant> plants;
    for (const Mode& mode : sound.harness->modes) {
        const std::size_t begin = mode.where.end, end = sound.text.find("\nmode ", begin);
        const std::size_t after = sound.text.find("after ", begin);
        if (after == std::string::npos || after > end) continue;
        const std::size_t word = sound.text.find(' ', after + 6),
                          line = sound.text.find_first_of(",\n", after);
        std::string text = sound.text;
        text.replace(time.empty() ? after : word, line - (time.empty() ? after : word),
                     time.empty() ? "" : " " + time);
        std::vector<std::string> about;
        for (const PartId id : sound.parts({PartKind::controller, PartKind::contactor}))
            about.emplace_back(sound.part(id).name);
        plants.push_back({std::string(mode.name), text, rules, about});
    }
    return plants;
}
// A controller that fills its own capacitors while the key is on needs no word of it in a mode like that with
// the key on.
std::vector<Plant> precharge_left_out(const Sound& sound) {
    for (const PartId id : sound.parts({PartKind::controller}))
        if (sound.harness->find(sound.part(id).attributes, "precharges"_attr)) return {};
    return after_is(sound, "", {"no-precharge"});
}
std::vector<Plant> precharge_too_short(const Sound& sound) {
    return after_is(sound, "2 ms", {"no-precharge", "slow-precharge"});
}

}  // namespace

std::vector<Kind> source_kinds() {
    return {{"second pack behind the contactor", second_pack},
            {"charger behind the contactor", charger_behind_the_contactor},
            {"second pack without a fuse", second_pack_unfused},
            {"load past every switch", load_past_the_switch},
            {"precharge left out", precharge_left_out},
            {"precharge too short", precharge_too_short}};
}

}  // namespace planted
