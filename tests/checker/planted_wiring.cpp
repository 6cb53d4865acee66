// Mistakes in the wiring itself.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/currents/witness.hpp"
#include "checker/parts/elements.hpp"
#include "tests/checker/planted.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

// Whether a current that starts here comes from something that pushes it whatever is lost on the way: a
// charger, or a converter that charges a pack at its limit.
bool is_pushed(const Sound& sound, NodeId start) {
    for (const Edge& edge : sound.circuit().edges)
        if (edge.to == start && (edge.role == EdgeRole::charger ||
                                 (edge.role == EdgeRole::converter_output && sound.leads_to_a_pack(edge.to))))
            return true;
    return false;
}

// By EdgeId: what lies on the way of a current from a source through something that draws and back.
std::vector<bool> on_the_way_to_a_consumer(const Sound& sound) {
    std::vector<bool> on_the_way(sound.circuit().edges.size(), false);
    for (const OperatingPoint& point : sound.results.points) {
        if (!point.usable()) continue;
        for (std::size_t i = 0; i < sound.circuit().edges.size(); ++i) {
            const EdgeRole role = sound.circuit().edges[i].role;
            const bool draws =
                role == EdgeRole::load || role == EdgeRole::controller || role == EdgeRole::converter_input;
            if (!draws || std::abs(point.edge_A[i]) < 0.1) continue;
            const CurrentPath path = trace_current(sound.circuit(), point, EdgeId(i));
            if (is_pushed(sound, path.start)) continue;
            for (const EdgeId edge : path.edges) on_the_way[edge.index()] = true;
        }
    }
    return on_the_way;
}

std::vector<Plant> long_wires(const Sound& sound) {
    std::vector<Plant> plants;
    const std::vector<bool> on_the_way = on_the_way_to_a_consumer(sound);
    for (const WireId id : sound.wires()) {
        const Wire& wire = sound.harness->wire(id);
        const EdgeId edge = sound.circuit().edge_of_wire[id.index()];
        const double current_A = sound.sustained_A[edge.index()];
        if (current_A < 0.3 || !on_the_way[edge.index()]) continue;
        // 20 V lost in copper of 0.0172 ohm mm2/m.
        const double length_m = 20 / current_A * wire.area.lo / 0.0172;
        if (length_m > 500) continue;
        const std::string name(wire.name);
        plants.push_back({name,
                          with_wire_field(sound, id, 1, fmt::format("{:.1f} m", length_m)),
                          {"voltage-drop", "undervoltage", "cannot-be-fed"},
                          {name}});
    }
    return plants;
}

std::vector<Plant> load_turned_round(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::load})) {
        const std::string whole(sound.part(id).name);
        const std::string name = whole.substr(whole.rfind('.') + 1);
        if (const auto text = with_route_word(sound, name, name + ".->+"))
            plants.push_back({whole, *text, {"reversed"}, {whole}});
    }
    return plants;
}

std::vector<Plant> supply_turned_round(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::controller, PartKind::converter})) {
        const std::string name(sound.part(id).name);
        const bool controller = sound.part(id).kind == PartKind::controller;
        const std::string plus = name + (controller ? ".+" : ".in+"),
                          minus = name + (controller ? ".-" : ".in-");
        Sound edited = sound;
        for (const auto& [from, to] : {std::pair(plus, std::string("turned")), std::pair(minus, plus),
                                       std::pair(std::string("turned"), minus)})
            if (const auto text = with_route_word(edited, from, to)) edited.text = *text;
        plants.push_back({name, edited.text, {"reversed", "dead-short", "short-when-closed"}, {name}});
    }
    return plants;
}

// In a stack the halves cancel and nothing is fed: then mode-contradicts tells so of every mode, and nothing
// can be said of the pack.
bool is_stacked(const Sound& sound, PartId pack) {
    DisjointSets joined(sound.circuit().node_count());
    for (const Edge& edge : sound.circuit().edges)
        if (is_conductor(edge.role)) joined.join(edge.from.index(), edge.to.index());
    const auto node = [&](PartId id, TerminalRole pole) {
        return sound.circuit().node(sound.harness->terminal_of(id, pole)).index();
    };
    for (const PartId other : sound.parts({PartKind::pack}))
        if (other != pack && (joined.same(node(other, TerminalRole::plus), node(pack, TerminalRole::minus)) ||
                              joined.same(node(other, TerminalRole::minus), node(pack, TerminalRole::plus))))
            return true;
    return false;
}

std::vector<Plant> pack_turned_round(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::pack})) {
        if (is_stacked(sound, id)) continue;
        const Poles poles = poles_of(sound, id);
        Sound edited = sound;
        std::size_t at = 0;
        for (at = 0; (at = edited.text.find("route " + poles.plus + " ", at)) != std::string::npos;)
            edited.text.replace(at + 6, poles.plus.size(), "turned");
        for (at = 0; (at = edited.text.find(poles.minus, at)) != std::string::npos;)
            edited.text.replace(at, poles.minus.size(), poles.plus);
        for (at = 0; (at = edited.text.find("turned", at)) != std::string::npos;)
            edited.text.replace(at, 6, poles.minus);
        std::vector<std::string> about{std::string(sound.part(id).name)};
        for (const PartId fed : sound.parts({PartKind::load, PartKind::controller, PartKind::converter}))
            about.emplace_back(sound.part(fed).name);
        plants.push_back({std::string(sound.part(id).name),
                          edited.text,
                          {"reversed", "dead-short", "short-when-closed"},
                          about});
    }
    return plants;
}

// Beside each load one for a quarter of its voltage, with and without a range.
std::vector<Plant> beside_each_load(const Sound& sound, const std::string& range,
                                    const std::vector<std::string>& rules) {
    std::vector<Plant> plants;
    for (const PartId id : fed_loads(sound)) {
        const Poles poles = poles_of(sound, id);
        const double quarter_V = sound.across_V(sound.edge_of(id, EdgeRole::load)) / 4;
        plants.push_back(
            {std::string(sound.part(id).name),
             with_lines(sound,
                        fmt::format("load H900 {{ {:.1f} V, 0.2 A, acts-as current{} }}\n"
                                    "route {} (W900 1 mm2, 0.2 m, red) H900 (W901 1 mm2, 0.2 m, black) {}\n",
                                    quarter_V, range, poles.plus, poles.minus)),
             rules,
             {"H900"}});
    }
    return plants;
}
std::vector<Plant> wrong_rail(const Sound& sound) {
    return beside_each_load(sound, "", {"wrong-rail"});
}
std::vector<Plant> wrong_rail_with_range(const Sound& sound) {
    return beside_each_load(sound, ", works 1..4 V", {"input-voltage", "wrong-rail"});
}

std::vector<Plant> minus_left_off(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : fed_loads(sound)) {
        const std::string name(sound.part(id).name);
        const std::size_t at = sound.text.find(") " + name + " (");
        if (at == std::string::npos) continue;  // walked from its pole
        const std::size_t close = sound.text.find(')', at + 1), end = sound.text.find('\n', at);
        if (close > end || sound.text.find('(', close) < end) continue;  // the route goes on
        std::string text = sound.text;
        text.replace(at + 2, end - at - 2, name + ".+");
        plants.push_back({name, text, {"floating"}, {name}});
    }
    return plants;
}

std::vector<Plant> wire_to_nowhere(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : fed_loads(sound))
        plants.push_back(
            {std::string(sound.part(id).name),
             with_lines(sound, fmt::format("splice X900\nroute {} (W900 1 mm2, 0.2 m, red) X900\n",
                                           poles_of(sound, id).plus)),
             {"open-ended"},
             {"W900"}});
    return plants;
}

std::vector<Plant> load_shorted(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : fed_loads(sound)) {
        const Poles poles = poles_of(sound, id);
        plants.push_back({std::string(sound.part(id).name),
                          with_lines(sound, fmt::format("route {} (W900 1 mm2, 0.2 m, red) {}\n", poles.plus,
                                                        poles.minus)),
                          {"dead-short", "short-when-closed", "overloaded-converter", "overloaded-contact"},
                          {"W900"}});
    }
    return plants;
}

std::vector<Plant> contact_bridged(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::switch_, PartKind::contactor, PartKind::relay})) {
        const EdgeId contact = sound.edge_of(id, EdgeRole::switching);
        const auto& edges = sound.circuit().edges_of_part[id.index()];
        const auto contacts = std::count_if(edges.begin(), edges.end(), [&](EdgeId edge) {
            return sound.circuit().edge(edge).role == EdgeRole::switching;
        });
        if (contacts > 1)
            continue;  // a change-over contact whose ends are joined still changes the rest over
        const Edge& edge = sound.circuit().edge(contact);
        plants.push_back(
            {std::string(sound.part(id).name),
             with_lines(sound, fmt::format("route {} (W900 16 mm2, 0.2 m, red) {}\n",
                                           sound.path(edge.from_terminal), sound.path(edge.to_terminal))),
             {"bridged-contact"},
             {std::string(sound.part(id).name)}});
    }
    return plants;
}

std::vector<Plant> bond_as_return(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : fed_loads(sound)) {
        const Poles poles = poles_of(sound, id);
        plants.push_back(
            {std::string(sound.part(id).name),
             with_lines(
                 sound,
                 fmt::format("frame X900 {{ serves bond }}\n"
                             "load H900 {{ {:.1f} V, 0.5 A, acts-as current, works 1..200 V }}\n"
                             "route {} (W900 1 mm2, 0.2 m, red) H900 (W901 1 mm2, 0.2 m, black) X900\n"
                             "route X900 (W902 4 mm2, 0.2 m, green-yellow) {}\n",
                             sound.across_V(sound.edge_of(id, EdgeRole::load)), poles.plus, poles.minus)),
             {"bond-current"},
             {"W901"}});
    }
    return plants;
}

// The plus of the nearest load or controller on a lead to each signal pin.
std::vector<Plant> power_on_a_signal_pin(const Sound& sound) {
    std::string plus;
    for (const PartId id : sound.parts({PartKind::load}))
        if (plus.empty()) plus = poles_of(sound, id).plus;
    for (const PartId id : sound.parts({PartKind::controller})) plus = poles_of(sound, id).plus;
    std::vector<Plant> plants;
    for (std::size_t i = 0; i < sound.harness->terminals.size(); ++i) {
        const Terminal& pin = sound.harness->terminals[i];
        const Part& part = sound.part(pin.part);
        if (part.kind != PartKind::device && part.kind != PartKind::controller) continue;
        const DevicePin* line = sound.harness->pin_at(TerminalId(i));
        if (!line || line->purpose != PinPurpose::signal) continue;
        plants.push_back(
            {std::string(pin.path),
             with_lines(sound, fmt::format("route {} (W900 0.5 mm2, 0.5 m, white) {}\n", plus, pin.path)),
             {"signal-current"},
             {"W900"}});
    }
    return plants;
}

// Units that the wires of one half lead straight to, from contacts other than this one.
std::vector<PartId> units_on(const Sound& sound, PartId connector, bool mate_half, std::string_view contact,
                             bool others) {
    std::vector<PartId> units;
    for (const Wire& wire : sound.harness->wires)
        for (const auto& [here, there] : {std::pair(wire.from, wire.to), std::pair(wire.to, wire.from)}) {
            const Terminal& end = sound.harness->terminal(here);
            const PartId unit = sound.harness->terminal(there).part;
            if (end.part == connector && end.mate_half == mate_half && (end.name == contact) != others &&
                sound.part(unit).kind != PartKind::connector)
                units.push_back(unit);
        }
    return units;
}

// Only seen where another contact leads to the same unit (rule mixed-halves, limits).
std::vector<Plant> other_half_of_a_connector(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::connector})) {
        const Part& part = sound.part(id);
        for (std::size_t i = 0; i < part.terminals.count; ++i) {
            const Terminal& own = sound.harness->terminals[part.terminals.first + i];
            if (own.mate_half) continue;
            bool seen = false;
            for (const bool mate_half : {false, true})
                for (const PartId unit : units_on(sound, id, mate_half, own.name, false)) {
                    const auto rest = units_on(sound, id, mate_half, own.name, true);
                    seen = seen || std::find(rest.begin(), rest.end(), unit) != rest.end();
                }
            const std::string mate = std::string(part.mate) + "." + std::string(own.name);
            const auto text = with_route_word(sound, std::string(own.path), mate);
            if (seen && text)
                plants.push_back({std::string(own.path), *text, {"mixed-halves"}, {std::string(part.name)}});
        }
    }
    return plants;
}

}  // namespace

std::vector<Kind> wiring_kinds() {
    return {{"wire too long", long_wires},
            {"load turned round", load_turned_round},
            {"controller or converter turned round", supply_turned_round},
            {"pack turned round", pack_turned_round},
            {"load of another rail", wrong_rail},
            {"load of another rail, range stated", wrong_rail_with_range},
            {"minus of a load left off", minus_left_off},
            {"wire to nowhere", wire_to_nowhere},
            {"load shorted by a wire", load_shorted},
            {"contact bridged by a wire", contact_bridged},
            {"bond used as a return", bond_as_return},
            {"power on a signal pin", power_on_a_signal_pin},
            {"connector walked from its other half", other_half_of_a_connector}};
}

}  // namespace planted
