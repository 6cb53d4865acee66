// What is done and measured before any pack is connected. Every wire is measured once from end to end, every
// contact in each of its states, every net against the poles: so that a wire crossed, left out, in the wrong
// place or touching is found while nothing can burn.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/power_up_writer.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/bolted.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string wire_text(const Harness& harness, WireId id) {
    const Wire& wire = harness.wire(id);
    std::string text(wire.name);
    if (!wire.size_text.empty()) text += fmt::format(", {}", wire.size_text);
    if (wire.colour != Colour::none) text += fmt::format(", {}", colour_word(wire.colour));
    if (wire.second_colour != Colour::none) text += fmt::format("-{}", colour_word(wire.second_colour));
    return text;
}

std::string joined(const std::vector<std::string>& names) {
    return fmt::format("{}", fmt::join(names, ", "));
}

}  // namespace

// Everything that can be opened is open, everything that can be parted is parted.
BenchState PowerUpWriter::apart() const {
    BenchState state{before_anything(harness_.modes.front()), false, false};
    for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
        State& each = state.postures.states[i];
        switch (harness_.parts[i].kind) {
            case Kind::fuse:
            case Kind::breaker:
            case Kind::bms:
            case Kind::protector:
            case Kind::switch_:
            case Kind::contactor:
                each.posture = Posture::open;
                break;
            case Kind::relay:
                each.posture = Posture::released;
                break;
            case Kind::connector:
                each.posture = Posture::unmated;
                break;
            case Kind::selector:
                each.position = std::numeric_limits<std::uint16_t>::max();
                break;
            default:
                break;
        }
    }
    for (State& pin : state.postures.pin_states) pin.posture = Posture::off;
    return state;
}

std::string PowerUpWriter::torque_text(std::vector<std::string>& without) const {
    std::vector<std::string> stated;
    for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
        const auto torque = facts_.quantity(PartId(i), "torque"_attr);
        if (torque)
            stated.push_back(fmt::format("{} {}", harness_.parts[i].name, to_text(*torque)));
        else if (is_bolted(harness_, PartId(i)))
            without.emplace_back(harness_.parts[i].name);
    }
    return joined(stated);
}

void PowerUpWriter::write_all_off() {
    BenchPart& off = begin("Everything off");
    std::vector<std::string> leads;
    for (const Wire& wire : harness_.wires)
        if (is(harness_.terminal(wire.from).part, Kind::pack) ||
            is(harness_.terminal(wire.to).part, Kind::pack))
            leads.emplace_back(wire.name);
    off.caution =
        "A pack cannot be switched off at its own posts. " +
        (leads.empty() ? std::string("Its leads") : "Leads " + joined(leads)) +
        " stay off the posts and covered until the pack is connected further down. No rings, no watch; "
        "insulated tools.";
    const auto look = [&](std::string title, std::string how, std::string expected, std::string if_not) {
        BenchStep step;
        step.title = std::move(title);
        step.how = std::move(how);
        step.expect = std::move(expected);
        step.if_not = std::move(if_not);
        add(std::move(step));
    };
    std::string taken = "Every switch off.";
    const std::vector<PartId> devices = parts_of({Kind::fuse, Kind::breaker}),
                              plugs = parts_of({Kind::connector});
    if (!devices.empty()) taken += " Fuses out, breakers off: " + names(devices, 40) + ".";
    if (!plugs.empty()) taken += " Plugs apart: " + names(plugs, 40) + ".";
    look("Look.", taken + " Every wire against the wire list: name, colour, size, both ends.",
         "all as listed, no bare strand, no sharp edge", "mend before going on");
    std::vector<std::string> thick;
    for (const Wire& wire : harness_.wires)
        if (wire.area.is_known() && wire.area.lo >= thick_mm2) thick.emplace_back(wire.name);
    look("Pull.",
         "Each crimp by hand, every wire" +
             (thick.empty() ? std::string(".") : "; the thick ones with both hands: " + joined(thick) + "."),
         "nothing moves", "crimp again with the right die");
    std::vector<std::string> without;
    const std::string stated = torque_text(without);
    if (!stated.empty() || !without.empty()) {
        std::string how = stated.empty() ? "The file states no torque." : stated + ".";
        if (!without.empty())
            how += " Bolted, and no torque in the file: " + joined(without) + ": by their makers' sheets.";
        look("Torque.", how, "clicks; mark with paint", "clean the faces first, then torque");
    }
    for (const PartId id : devices) {
        const auto amps = facts_.quantity(id, "(rated-current)"_attr);
        const auto limit = facts_.quantity(id, "(operational-voltage)"_attr);
        BenchStep step;
        step.title = label_of(id) + ".";
        step.how = is(id, Kind::fuse) ? "The print on the fuse itself." : "Its plate.";
        for (const EdgeId edge : circuit_.edges_of_part[id.index()])
            if (is_protective(circuit_.edge(edge).role)) step.across = edge;
        step.expect = (amps ? to_text(*amps) : "current not known") +
                      (limit ? fmt::format(", {} dc or more", to_text(limit->hi, Dimension::voltage)) : "");
        if (id == devices.front())
            step.if_not = "file and fuse have to say the same: change the one that is wrong, check again";
        add(std::move(step));
    }
}

void PowerUpWriter::write_through(bool of_plugs) {
    const std::size_t state = add_state(apart());
    const auto at_plug = [&](TerminalId id) { return is(harness_.terminal(id).part, Kind::connector); };
    for (std::size_t i = 0; i < harness_.wires.size(); ++i) {
        const Wire& wire = harness_.wires[i];
        if ((at_plug(wire.from) || at_plug(wire.to)) != of_plugs) continue;
        // At a plug one begins at its contact.
        const bool turned = of_plugs && !at_plug(wire.from);
        const TerminalId red = turned ? wire.to : wire.from, black = turned ? wire.from : wire.to;
        BenchStep step = measured(MeterKind::ohms, state, circuit_.node(red), circuit_.node(black));
        step.red = terminal_name(red);
        step.black = terminal_name(black);
        step.across = circuit_.edge_of_wire[i];
        step.across_text = wire_text(harness_, WireId(i));
        step.row = true;
        expect(step);
        step.if_not = fmt::format("open: {} at one of its ends, or it leads elsewhere", wire.name);
        step.told_by_part = true;
        add(std::move(step));
    }
}

// What can be worked by hand in both states; what a coil works as it lies.
void PowerUpWriter::write_contacts_across() {
    const std::size_t all_apart = add_state(apart());
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.role != EdgeRole::switching || edge.from == edge.to) continue;
        const Kind kind = part(edge.part).kind;
        const auto row = [&](std::size_t state, const std::string& how, const std::string& if_not) {
            BenchStep step = measured(MeterKind::ohms, state, edge.from, edge.to);
            step.red = terminal_name(edge.from_terminal);
            step.black = terminal_name(edge.to_terminal);
            step.across = EdgeId(i);
            step.across_text = fmt::format("{}, {}", part(edge.part).name, how);
            step.row = true;
            expect(step);
            step.if_not = if_not;
            add(std::move(step));
        };
        const bool rests_closed = is_closed(circuit_, sheet_.states[all_apart].postures, edge);
        const std::string name(part(edge.part).name);
        row(all_apart, kind == Kind::switch_ || kind == Kind::selector ? "off" : "no coil",
            rests_closed ? fmt::format("open: contact of {}", name)
                         : fmt::format("through: {} is welded, bridged or of the wrong kind", name));
        if (kind != Kind::switch_ && kind != Kind::selector) continue;
        BenchState closed = apart();
        State& posture = closed.postures.states[edge.part.index()];
        posture.posture = kind == Kind::selector ? Posture::at_position : Posture::closed;
        posture.position = edge.way;
        const auto positions = harness_.positions_of(edge.part);
        row(add_state(std::move(closed)),
            kind == Kind::selector && edge.way < positions.size()
                ? fmt::format("at {}", positions[edge.way].name)
                : std::string("on"),
            fmt::format("open: contact of {}", name));
    }
}

void PowerUpWriter::write_resistances() {
    const std::size_t state = add_state(apart());
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        const bool fuse = edge.role == EdgeRole::fuse;
        if (edge.role != EdgeRole::resistor && edge.role != EdgeRole::coil && !fuse) continue;
        if (edge.from == edge.to) continue;
        BenchStep step = measured(MeterKind::ohms, state, edge.from, edge.to);
        step.red = terminal_name(edge.from_terminal);
        step.black = terminal_name(edge.to_terminal);
        step.across = EdgeId(i);
        step.row = true;
        step.across_text = std::string(part(edge.part).name);
        if (fuse) {
            BenchState in = apart();
            in.postures.states[edge.part.index()].posture = Posture::closed;
            step.state = add_state(std::move(in));
            step.across_text += ", the fuse in for this reading";
            step.if_not = fmt::format("open: {} has blown, or sits badly", part(edge.part).name);
        } else if (edge.role == EdgeRole::coil) {
            step.across_text += ", coil (with electronics in it: any steady reading above 50 ohm)";
            step.if_not = "0: shorted coil; open: coil or a lead of it";
        } else {
            step.across_text += ", resistor";
            step.if_not = fmt::format("0: {0} is bridged; open: {0}", part(edge.part).name);
        }
        expect(step);
        add(std::move(step));
    }
}

void PowerUpWriter::write_between_nets() {
    const std::size_t state = add_state(apart());
    const BenchState& lies = sheet_.states[state];
    DisjointSets nets = pieces(circuit_, [&](EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        return is_conductor(edge.role) && is_closed(circuit_, lies.postures, edge);
    });
    // The point of each net on which most lands.
    const auto landing = [&](NodeId node) {
        const auto at = circuit_.at(node);
        return std::count_if(at.begin(), at.end(), [&](const Incidence& each) {
            return is_conductor(circuit_.edge(each.edge).role);
        });
    };
    std::vector<NodeId> hub(circuit_.node_count());
    std::vector<bool> wired(circuit_.node_count(), false);
    for (std::size_t n = 0; n < circuit_.node_count(); ++n) {
        NodeId& best = hub[nets.find(n)];
        if (!best || landing(NodeId(n)) > landing(best)) best = NodeId(n);
    }
    for (const Edge& edge : circuit_.edges)
        if (edge.role == EdgeRole::wire) wired[nets.find(edge.from.index())] = true;
    // The poles, where everything else of the pack's circuit hangs: behind what can be opened.
    // Of a pack with taps the lowest and the highest end.
    NodeId plus, minus;
    PartId pack;
    for (const Edge& edge : circuit_.edges)
        if (edge.role == EdgeRole::emf && (!pack || edge.part == pack)) {
            pack = edge.part;
            plus = edge.to;
            if (!minus) minus = edge.from;
        }
    if (!minus) return;
    // Of the nets that a pole leads to with nothing open but the plugs, the one on which most lands.
    const auto busiest = [&](NodeId pole) {
        const NodeId starts[] = {pole};
        const Reached near = reached(circuit_, starts, [&](EdgeId id, NodeId) {
            const EdgeRole role = circuit_.edge(id).role;
            return is_conductor(role) && role != EdgeRole::contact;
        });
        std::vector<std::size_t> lands(circuit_.node_count(), 0);
        for (const Edge& edge : circuit_.edges)
            if (is_conductor(edge.role))
                for (const NodeId end : {edge.from, edge.to})
                    if (near[end]) ++lands[nets.find(end.index())];
        const auto most = std::max_element(lands.begin(), lands.end());
        if (*most == 0) return pole;  // nothing hangs on it
        const auto net = static_cast<std::size_t>(most - lands.begin());
        // There, the point next to the pack at which the harness branches.
        NodeId best;
        for (std::size_t n = 0; n < circuit_.node_count(); ++n)
            if (nets.find(n) == net && landing(NodeId(n)) > 2 &&
                (!best || rank_m_[n] < rank_m_[best.index()]))
                best = NodeId(n);
        return best ? best : hub[net];
    };
    const NodeId minus_hub = busiest(minus), plus_hub = busiest(plus);
    const auto row = [&](NodeId red, NodeId black) {
        BenchStep step = measured(MeterKind::ohms, state, red, black);
        step.row = true;
        step.across_text = expected_.least().climbs(lies, red, black) ? "climbs while a capacitor fills" : "";
        expect(step);
        step.if_not = step.least > 10 ? "low: find what touches before anything else" : "";
        if (step.least < 10) return;  // joined on purpose through next to nothing: told by another row
        add(std::move(step));
    };
    for (std::size_t n = 0; n < circuit_.node_count(); ++n) {
        if (nets.find(n) != n || !wired[n]) continue;
        const NodeId here = hub[n];
        const bool forward = runs_.forward(here);
        if (!nets.same(here.index(), minus_hub.index())) row(here, minus_hub);
        if (!forward && !nets.same(here.index(), plus_hub.index()) && here != minus_hub) row(plus_hub, here);
    }
    if (!nets.same(plus.index(), plus_hub.index()) && !nets.same(minus.index(), minus_hub.index()))
        row(plus, minus);
}

// Each contact against those of the same half that come after it: where they lie side by side they touch.
void PowerUpWriter::write_between_contacts() {
    const std::size_t state = add_state(apart());
    std::vector<bool> wired(harness_.terminals.size(), false);
    for (const Wire& wire : harness_.wires) wired[wire.from.index()] = wired[wire.to.index()] = true;
    for (const Joint& joint : harness_.joints) wired[joint.a.index()] = wired[joint.b.index()] = true;
    for (const PartId id : parts_of({Kind::connector})) {
        const Slice terminals = part(id).terminals;
        for (const bool mate : {false, true}) {
            std::vector<TerminalId> half;
            for (std::uint32_t k = 0; k < terminals.count; ++k) {
                const TerminalId terminal(terminals.first + k);
                if (harness_.terminal(terminal).mate_half == mate && wired[terminal.index()])
                    half.push_back(terminal);
            }
            for (std::size_t i = 0; i + 1 < half.size(); ++i) {
                BenchStep step =
                    measured(MeterKind::ohms, state, circuit_.node(half[i]), circuit_.node(half[i + 1]));
                step.red = terminal_name(half[i]);
                step.black = terminal_name(half[i + 1]);
                for (std::size_t j = i + 1; j < half.size(); ++j)
                    step.others.push_back(circuit_.node(half[j]));
                if (half.size() > i + 2) {
                    step.across_text = "and then each contact after it: the lowest reading counts";
                }
                step.row = true;
                step.told_by_part = true;
                expect(step);
                step.if_not = "low: two contacts or their wires touch, or one wire sits in the wrong place";
                add(std::move(step));
            }
        }
    }
}

void PowerUpWriter::write_frames() {
    const std::vector<PartId> frames = parts_of({Kind::frame});
    if (!frames.empty()) return;  // a net like any other: measured with them
    BenchStep step;
    step.title = "Each pole to bare metal.";
    step.how = "The file names no frame: no conductor may touch the metal of the machine.";
    step.expect = "above 1 Mohm each";
    step.basis = "common practice, no source";
    step.if_not = "chafed wire, or a part bolted down without its insulation";
    add(std::move(step));
}

void PowerUpWriter::write_dead_parts() {
    write_all_off();
    begin("Through and open, no pack").lead =
        "Meter on ohm. Hold the probes together first and take that off every reading. Everything apart but "
        "what a "
        "row says. A wire that reads open: one of its ends, or it leads elsewhere.";
    write_through(false);
    write_contacts_across();
    write_resistances();
    write_between_nets();
    write_frames();
    if (parts_of({Kind::connector}).empty()) return;
    begin("Which contact is which, before any plug is mated").lead =
        "Meter on ohm, all plugs apart: each contact must lead to the terminal beside it, and to the other "
        "contacts "
        "of its half it must be open. Another reading: a wire in the wrong place, open, or touching its "
        "neighbour.";
    write_through(true);
    write_between_contacts();
}

}  // namespace loomward
