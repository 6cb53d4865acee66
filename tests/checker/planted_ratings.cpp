// Parts that are rated too low for what they get.
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

Plant planted_in(const Sound& sound, PartId part, std::string text, const std::string& rule) {
    const std::string name(sound.part(part).name);
    return {name, std::move(text), {rule}, {name}};
}

// `carries` at a third of what flows, wherever more than a tenth of an ampere does.
std::vector<Plant> carries_too_little(const Sound& sound, std::initializer_list<PartKind> kinds,
                                      const std::string& rule = "overloaded-contact") {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts(kinds)) {
        const double current_A = sound.sustained_of(id);
        if (current_A < 0.1) continue;
        plants.push_back(planted_in(
            sound, id,
            with_attribute(sound, id, "carries"_attr, fmt::format("carries {:.4f} A", current_A / 3)), rule));
    }
    return plants;
}
std::vector<Plant> connector_contact(const Sound& sound) {
    return carries_too_little(sound, {PartKind::connector});
}
std::vector<Plant> switch_contact(const Sound& sound) {
    return carries_too_little(sound,
                              {PartKind::switch_, PartKind::contactor, PartKind::relay, PartKind::selector});
}
// Bars and blocks have no edge of their own: what their wires carry counts.
std::vector<Plant> bars_and_blocks(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id :
         sound.parts({PartKind::busbar, PartKind::stud, PartKind::splice, PartKind::terminal_block})) {
        double largest_A = 0;
        for (const EdgeId edge : sound.circuit().edge_of_wire) {
            const Edge& wire = sound.circuit().edge(edge);
            for (const TerminalId end : {wire.from_terminal, wire.to_terminal})
                if (sound.harness->terminal(end).part == id)
                    largest_A = std::max(largest_A, sound.sustained_A[edge.index()]);
        }
        if (largest_A < 0.1) continue;
        plants.push_back(planted_in(
            sound, id,
            with_attribute(sound, id, "carries"_attr, fmt::format("carries {:.4f} A", largest_A / 3)),
            "overloaded-contact"));
    }
    return plants;
}
std::vector<Plant> motor_leads(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::motor}))
        plants.push_back(planted_in(sound, id, with_attribute(sound, id, "carries"_attr, "carries 2 A"),
                                    "overloaded-motor"));
    return plants;
}

std::vector<Plant> with_each(const Sound& sound, std::initializer_list<PartKind> kinds, Attr attribute,
                             const std::string& written, const std::string& rule) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts(kinds))
        plants.push_back(planted_in(sound, id, with_attribute(sound, id, attribute, written), rule));
    return plants;
}
std::vector<Plant> connector_voltage(const Sound& sound) {
    return with_each(sound, {PartKind::connector}, "(rated-voltage)"_attr, "4 V", "contact-voltage");
}
// How high a signal stands is not known: a switch that only signals is left out.
std::vector<Plant> switches_rated(const Sound& sound, const std::string& written) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::switch_, PartKind::selector})) {
        bool powered = false;
        for (const ProtectionZone& zone : sound.results.zones)
            for (const WireId wire : zone.wires)
                for (const TerminalId end : {sound.harness->wire(wire).from, sound.harness->wire(wire).to})
                    if (sound.harness->terminal(end).part == id &&
                        zone.guard != ProtectionZone::Guard::no_source)
                        powered = true;
        if (powered)
            plants.push_back(planted_in(sound, id,
                                        with_attribute(sound, id, "(operational-voltage)"_attr, written),
                                        "contact-voltage"));
    }
    return plants;
}
std::vector<Plant> switch_voltage(const Sound& sound) {
    return switches_rated(sound, "4 V dc");
}
std::vector<Plant> switch_for_ac(const Sound& sound) {
    return switches_rated(sound, "250 V ac");
}
std::vector<Plant> contact_breaks_at_less(const Sound& sound) {
    return with_each(sound, {PartKind::contactor, PartKind::relay}, "breaks"_attr, "breaks 100 A at 4 V dc",
                     "contact-voltage");
}
std::vector<Plant> no_suppression(const Sound& sound) {
    return with_each(sound, {PartKind::contactor, PartKind::relay}, "suppression"_attr, "suppression none",
                     "coil-suppression");
}
std::vector<Plant> coil_voltage(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::contactor, PartKind::relay}))
        plants.push_back(planted_in(
            sound, id,
            with_attributes(sound, id,
                            {{"coil"_attr, "coil 6 V 250 mA"}, {"coil-works"_attr, "coil-works 4..7 V"}}),
            "coil-voltage"));
    return plants;
}

// The full voltage of what feeds it, V; 0 where nothing does.
double fed_V(const Sound& sound, PartId id) {
    double largest = 0;
    for (const EdgeId edge : sound.circuit().edges_of_part[id.index()]) {
        const EdgeRole role = sound.circuit().edge(edge).role;
        if (role == EdgeRole::load || role == EdgeRole::controller || role == EdgeRole::converter_input)
            largest = std::max(largest, sound.across_V(edge));
    }
    return largest;
}

std::vector<Plant> input_ranges(const Sound& sound, double low, double high, const std::string& rule) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::controller, PartKind::converter, PartKind::load})) {
        const double fed = fed_V(sound, id);
        if (fed < 1) continue;
        const bool load = sound.part(id).kind == PartKind::load;
        plants.push_back(planted_in(
            sound, id,
            with_attribute(
                sound, id, load ? "works"_attr : "input"_attr,
                fmt::format("{} {:.2f}..{:.2f} V", load ? "works" : "input", fed * low, fed * high)),
            rule));
    }
    return plants;
}
std::vector<Plant> fed_too_much(const Sound& sound) {
    return input_ranges(sound, 0.3, 0.9, "input-voltage");
}
std::vector<Plant> fed_too_little(const Sound& sound) {
    return input_ranges(sound, 1.1, 2, "undervoltage");
}

std::vector<Plant> bms_rating(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::bms}))
        plants.push_back(
            planted_in(sound, id,
                       with_attribute(sound, id, "discharge"_attr,
                                      fmt::format("discharge {:.3f} A", sound.sustained_of(id) / 3)),
                       "overdrawn-bms"));
    return plants;
}
std::vector<Plant> pack_discharge(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::pack}))
        plants.push_back(
            planted_in(sound, id,
                       with_attribute(sound, id, "discharge"_attr,
                                      fmt::format("discharge {:.3f} A", sound.sustained_of(id) / 3)),
                       "overdrawn-pack"));
    return plants;
}
std::vector<Plant> pack_charge(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::pack})) {
        double charged_A = 0;
        for (const EdgeId edge : sound.circuit().edges_of_part[id.index()])
            for (const OperatingPoint& point : sound.results.points)
                if (point.usable()) charged_A = std::max(charged_A, -point.edge_A[edge.index()]);
        if (charged_A < 0.2) continue;  // nothing charges it in any mode
        plants.push_back(planted_in(sound, id, with_attribute(sound, id, "charge"_attr, "charge 0.1 A"),
                                    "overdrawn-pack"));
    }
    return plants;
}
std::vector<Plant> supply_limit(const Sound& sound) {
    return with_each(sound, {PartKind::controller}, "supply-limit"_attr, "supply-limit 900 A",
                     "setting-too-high");
}
std::vector<Plant> converter_output(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::converter})) {
        const auto output = sound.value(id, "output"_attr);
        const EdgeId edge = sound.edge_of(id, EdgeRole::converter_output);
        // One that charges a pack works at its limit by design.
        if (!output || !edge || sound.leads_to_a_pack(sound.circuit().edge(edge).to)) continue;
        plants.push_back(planted_in(sound, id,
                                    with_attribute(sound, id, "output"_attr,
                                                   fmt::format("output {} V {:.3f} A", output->hi,
                                                               sound.sustained_A[edge.index()] / 2)),
                                    "overloaded-converter"));
    }
    return plants;
}
// Whatever it lands on takes only cables as thick as a thumb.
std::vector<Plant> sizes(const Sound& sound) {
    return with_each(sound, {PartKind::connector, PartKind::terminal_block}, "takes"_attr,
                     "takes 95..120 mm2", "size-mismatch");
}
bool some_mode_says_what_it_draws(const Sound& sound, PartId id) {
    for (const Mode& mode : sound.harness->modes)
        if (mode.states[id.index()].profile >= 0) return true;
    return false;
}

// Said of the load, of the converter at its limit before it, or of the voltage that is left.
std::vector<Plant> load_beyond_the_source(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::load})) {
        if (fed_V(sound, id) < 1 || some_mode_says_what_it_draws(sound, id)) continue;
        const bool by_current = sound.value(id, "(current)"_attr).has_value();
        const std::string name(sound.part(id).name);
        plants.push_back({name,
                          by_current ? with_attribute(sound, id, "(current)"_attr, "20 kA")
                                     : with_attribute(sound, id, "(power)"_attr, "900 kW"),
                          {"cannot-be-fed", "overloaded-converter", "undervoltage"},
                          {name}});
    }
    return plants;
}

std::vector<Plant> pulse_of_the_precharge_resistor(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::resistor})) {
        const auto said = [&](Attr name) { return sound.harness->value(sound.part(id).attributes, name).lo; };
        constexpr double highest_V = 120;  // of all examples: a bleed that takes it for good needs no pulse
        const bool for_good = highest_V * highest_V / said("(resistance)"_attr) <= said("(power)"_attr);
        if (!for_good &&
            sound.harness->find(sound.part(id).attributes, "pulse"_attr))  // others charge no capacitor
            plants.push_back(planted_in(sound, id, with_attribute(sound, id, "pulse"_attr, "pulse 0.05 J"),
                                        "precharge-resistor"));
    }
    return plants;
}
// Contacts that carry an ampere and more, said to break less than half of one.
std::vector<Plant> contact_breaks_too_little(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id :
         sound.parts({PartKind::switch_, PartKind::contactor, PartKind::relay, PartKind::selector}))
        if (sound.sustained_of(id) > 1)
            plants.push_back(planted_in(sound, id,
                                        with_attribute(sound, id, "breaks"_attr, "breaks 0.45 A at 200 V dc"),
                                        "breaking-current"));
    return plants;
}
// Whether the plus of a pack stays on the first half of a connector in a mode that has it parted, or in any
// if none has.
bool stays_live(const Sound& sound, PartId connector) {
    const auto& modes = sound.harness->modes;
    const auto parted = [&](const Mode& mode) {
        return mode.states[connector.index()].posture == Posture::unmated;
    };
    const bool ever = std::any_of(modes.begin(), modes.end(), parted);
    for (const Mode& mode : modes) {
        if (ever && !parted(mode)) continue;
        DisjointSets joined(sound.circuit().node_count());
        for (const Edge& edge : sound.circuit().edges)
            if (is_conductor(edge.role) && edge.part != connector && is_closed(sound.circuit(), mode, edge))
                joined.join(edge.from.index(), edge.to.index());
        for (const Edge& edge : sound.circuit().edges)
            if (edge.role == EdgeRole::emf)
                for (const EdgeId contact : sound.circuit().edges_of_part[connector.index()])
                    if (joined.same(sound.circuit().edge(contact).from.index(), edge.to.index())) return true;
    }
    return false;
}
std::vector<Plant> pins_on_the_live_half(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::connector}))
        if (stays_live(sound, id))
            plants.push_back(planted_in(sound, id, with_attribute(sound, id, "half"_attr, "half pin"),
                                        "live-when-unmated"));
    return plants;
}
// Whether a contact that is worked by hand or coil lies between a pack and the load. Behind a converter there
// is no surge: it gives no more than its limit.
bool is_switched_from_a_pack(const Sound& sound, PartId id) {
    for (const OperatingPoint& point : sound.results.points) {
        const EdgeId load = sound.edge_of(id, EdgeRole::load);
        if (!point.usable() || std::abs(point.edge_A[load.index()]) < 1e-3) continue;
        const CurrentPath path = trace_current(sound.circuit(), point, load);
        const auto& edges = sound.circuit().edges;
        if (std::none_of(edges.begin(), edges.end(), [&](const Edge& edge) {
                return edge.role == EdgeRole::emf && edge.to == path.start;
            }))
            return false;
        std::size_t contacts = 0, closed_by_this_mode = 0;
        for (const EdgeId id_on_path : path.edges) {
            const Edge& edge = sound.circuit().edge(id_on_path);
            if (edge.role != EdgeRole::switching) continue;
            ++contacts;
            const State& state = sound.harness->modes[point.mode.index()].states[edge.part.index()];
            closed_by_this_mode += state.stated_by == StatedBy::line ? 1 : 0;
        }
        // Where a mode closes several in line, it does not say which of them makes the current.
        return contacts > 0 && closed_by_this_mode < 2;
    }
    return false;
}

// A surge that no contact of the examples may close on.
std::vector<Plant> surge_of_a_load(const Sound& sound) {
    std::vector<Plant> plants;
    for (const PartId id : sound.parts({PartKind::load}))
        if (is_switched_from_a_pack(sound, id))
            plants.push_back(planted_in(sound, id,
                                        with_attribute(sound, id, "inrush"_attr, "inrush 3 kA for 50 ms"),
                                        "making-current"));
    return plants;
}

}  // namespace

std::vector<Kind> rating_kinds() {
    return {{"connector contact too small", connector_contact},
            {"connector voltage too low", connector_voltage},
            {"switch or contactor carries too little", switch_contact},
            {"bar, block, stud or splice carries too little", bars_and_blocks},
            {"switch voltage too low", switch_voltage},
            {"switch for ac", switch_for_ac},
            {"contactor or relay breaks at too little", contact_breaks_at_less},
            {"contact breaks too little current", contact_breaks_too_little},
            {"pins on the live half", pins_on_the_live_half},
            {"surge of a load on a contact", surge_of_a_load},
            {"precharge resistor for smaller pulses", pulse_of_the_precharge_resistor},
            {"coil not suppressed", no_suppression},
            {"coil for another voltage", coil_voltage},
            {"fed above its range", fed_too_much},
            {"fed below its range", fed_too_little},
            {"bms rated too low", bms_rating},
            {"pack discharged too fast", pack_discharge},
            {"pack charged too fast", pack_charge},
            {"controller set too high", supply_limit},
            {"motor leads rated too low", motor_leads},
            {"converter rated too low", converter_output},
            {"contact takes other sizes", sizes},
            {"load beyond what the source can give", load_beyond_the_source}};
}

}  // namespace planted
