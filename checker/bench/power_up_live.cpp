// The pack is connected, then each mode of the file is entered one action at a time: a switch, a fuse, a plug; after
// each the voltage that comes with it, or that may not. Controllers are asked for nothing yet.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/live_nets.hpp"
#include "checker/bench/power_up_writer.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double carries_A = 1e-4;  // more than what no meter shows
constexpr double fed_V = 1;

bool by_hand(Kind kind) {
    return kind == Kind::switch_ || kind == Kind::selector || kind == Kind::breaker || kind == Kind::fuse ||
           kind == Kind::connector;
}
bool by_coil(Kind kind) {
    return kind == Kind::contactor || kind == Kind::relay;
}

std::string_view posture_word(Posture posture) {
    switch (posture) {
        case Posture::open:
            return "open";
        case Posture::closed:
            return "closed";
        case Posture::energised:
            return "pulled in";
        case Posture::released:
            return "released";
        case Posture::mated:
            return "mated";
        case Posture::unmated:
            return "apart";
        default:
            return "set";
    }
}

}  // namespace

bool PowerUpWriter::is_charging(const Mode& mode) const {
    for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
        const State& state = mode.states[i];
        if (state.profile >= 0 && mode.profiles[static_cast<std::size_t>(state.profile)].flow == Flow::delivers)
            return true;
    }
    return false;
}

bool PowerUpWriter::is_silent(ModeId mode) const {
    return std::find(sheet_.left_out.begin(), sheet_.left_out.end(), harness_.modes[mode.index()].name) !=
           sheet_.left_out.end();
}

// The wire at its plus, else at its minus.
EdgeId PowerUpWriter::lead_of_pack(PartId pack) const {
    for (const bool plus : {true, false})
        for (const EdgeId section : circuit_.edges_of_part[pack.index()]) {
            const Edge& edge = circuit_.edge(section);
            if (edge.role != EdgeRole::emf) continue;
            for (const Incidence& at : circuit_.at(plus ? edge.to : edge.from))
                if (circuit_.edge(at.edge).role == EdgeRole::wire) return at.edge;
        }
    return {};
}

// Away from the source.
NodeId PowerUpWriter::far_end(const Edge& edge) const {
    const bool both = runs_.forward(edge.from) && runs_.forward(edge.to);
    if (!both && (runs_.forward(edge.from) || runs_.forward(edge.to)))
        return runs_.forward(edge.from) ? edge.from : edge.to;
    return rank_m_[edge.to.index()] >= rank_m_[edge.from.index()] ? edge.to : edge.from;
}

void PowerUpWriter::write_pack_on() {
    BenchPart& on = begin("Pack on, through a small fuse");
    on.caution =
        "From here the pack can burn you. One hand, eye cover, second person at the disconnect. With all fuses out "
        "nothing hangs on the pack: its leads must go on without a spark. A spark means that something is still "
        "connected: take it off.";
    const Mode rest = before_anything(harness_.modes.front());
    now_ = {rest, true, false};
    const BenchState cold = apart();
    for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
        const Kind kind = harness_.parts[i].kind;
        if (kind == Kind::fuse || kind == Kind::breaker || kind == Kind::connector)
            now_.postures.states[i] = cold.postures.states[i];
    }
    BenchState alone = cold;
    alone.packs_on = true;
    const std::size_t alone_state = add_state(alone);
    for (const PartId pack : sheet_.packs) {
        BenchStep step;
        step.meter = MeterKind::volts;
        step.state = alone_state;
        step.live = true;
        const TerminalId plus = harness_.terminal_of(pack, TerminalRole::plus),
                         minus = harness_.terminal_of(pack, TerminalRole::minus);
        if (!plus || !minus) continue;
        step.red_node = circuit_.node(plus);
        step.black_node = circuit_.node(minus);
        step.red = terminal_name(plus);
        step.black = terminal_name(minus);
        step.title = fmt::format("Pack {} alone, leads off.", part(pack).name);
        const ReadingRange range = expected_.of(sheet_, step, 0, 1);
        step.least = range.least, step.most = range.most;
        step.expect = span_text(range.least, range.most, Dimension::voltage) + ": write it down, this is U0";
        step.basis = "empty to full, as the file has it";
        step.if_not = "outside it: another pack, or a cell that is not well: neither charge nor use it; a minus "
                      "sign: the poles are marked the wrong way round";
        add(std::move(step));
    }
    // The one device that a pack feeds first has the test lead in its place.
    std::vector<EdgeId> first;
    for (const PartId pack : sheet_.packs) {
        const TerminalId plus = harness_.terminal_of(pack, TerminalRole::plus);
        if (!plus) continue;
        const NodeId starts[] = {circuit_.node(plus)};
        std::vector<EdgeId> devices;
        const Reached near = reached(circuit_, starts, [&](EdgeId id, NodeId) {
            const EdgeRole role = circuit_.edge(id).role;
            if (is_protective(role)) devices.push_back(id);
            return is_conductor(role) && !is_protective(role) && role != EdgeRole::switching;
        });
        std::sort(devices.begin(), devices.end());
        devices.erase(std::unique(devices.begin(), devices.end()), devices.end());
        if (devices.size() == 1) first.push_back(devices.front());
    }
    for (const EdgeId id : first)
        now_.postures.states[circuit_.edge(id).part.index()].posture = Posture::closed;
    const std::size_t state = add_state(now_);
    bool any = false;
    for (const EdgeId id : first) {
        const Edge& edge = circuit_.edge(id);
        const NodeId out = far_end(edge), other = runs_.across(out);
        if (!other) continue;
        BenchStep step = runs_.forward(out) ? measured(MeterKind::volts, state, out, other)
                                            : measured(MeterKind::volts, state, other, out);
        step.title = fmt::format("Fit the leads of the pack, {} out, the test lead in its place.", part(edge.part).name);
        step.how = "Everything else as before: switches off, all other fuses out, all plugs apart.";
        step.if_not = "0: battery management that has not woken, or the leads; test fuse blown: a short, back to "
                      "the rows of the part before";
        expect(step);
        add(std::move(step));
        any = true;
    }
    if (!any) {
        BenchStep step;
        step.title = "Fit the leads of the pack.";
        step.how = "All switches off, all fuses out, all plugs apart. No single device stands next to the pack, so no "
                   "test lead can take its place: fuses go in one at a time below.";
        step.expect = "no spark";
        step.if_not = "take it off again at once and find what is still connected";
        add(std::move(step));
    }
    // What is open has to be dead behind.
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.role != EdgeRole::switching && !is_protective(edge.role)) continue;
        if (is_closed(circuit_, now_.postures, edge)) continue;
        const NodeId behind = far_end(edge), before = behind == edge.from ? edge.to : edge.from;
        const NodeId other = runs_.across(behind);
        if (!other || !runs_.forward(behind)) continue;
        const double near_V = expected_.least().volts(now_, 1, before, other);
        if (std::abs(near_V) < fed_V) continue;
        BenchStep step = measured(MeterKind::volts, state, behind, other);
        step.across = EdgeId(i);
        step.title = fmt::format("Behind {}, {}.", part(edge.part).name,
                                 is_protective(edge.role) ? "out" : "open");
        step.if_not = fmt::format("U0 here: {} is bridged or welded. Take the lead of the pack off", part(edge.part).name);
        expect(step);
        add(std::move(step));
    }
    write_clamps(state, "At rest.");
}

void PowerUpWriter::write_clamps(std::size_t state, const std::string& title) {
    for (const PartId pack : sheet_.packs) {
        const EdgeId lead = lead_of_pack(pack);
        if (!lead) continue;
        BenchStep step;
        step.meter = MeterKind::amps;
        step.state = state;
        step.live = true;
        step.across = lead;
        const Wire& wire = harness_.wire(circuit_.edge(lead).wire);
        step.red = std::string(wire.name);
        step.title = title;
        expect(step);
        if (step.most <= 0 && step.least < -carries_A) step.sign = -1, expect(step);
        step.how = clamp_text(step, wire) + " Below 1 A: the meter in series with the test lead.";
        // Who takes most of it.
        const BenchMachine::Live live = expected_.least().live(sheet_.states[state], 0.5);
        std::vector<std::pair<double, PartId>> takers;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (uses(circuit_.edges[i].role) && circuit_.edges[i].part && std::abs(live.edge_A[i]) > carries_A)
                takers.emplace_back(std::abs(live.edge_A[i]), circuit_.edges[i].part);
        std::stable_sort(takers.begin(), takers.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
        for (std::size_t i = 0; i < takers.size() && i < 4; ++i) {
            const std::string_view who = part(takers[i].second).name;
            step.basis += fmt::format("{}{} {}", i == 0 ? "" : ", ", who,
                                      to_text(takers[i].first, Dimension::current));
        }
        step.if_not = takers.empty() ? "more: something is still connected"
                                     : "more: take out one fuse after the other and see which takes it";
        add(std::move(step));
    }
}

// Loads, converters, controllers that have their voltage for the first time.
void PowerUpWriter::write_users(std::size_t state, ModeId mode, bool outputs_only) {
    const BenchMachine::Live live = expected_.least().live(sheet_.states[state], 0.5);
    if (!live.solved) return;
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        const bool output = edge.role == EdgeRole::converter_output;
        if ((!uses_power(edge.role) && !output) || edge.from == edge.to || (outputs_only && !output)) continue;
        const NodeId red = output ? edge.to : edge.from, black = output ? edge.from : edge.to;
        const bool resistive_way = edge.role == EdgeRole::controller;
        if (std::abs(live.node_V[red.index()] - live.node_V[black.index()]) < fed_V) continue;
        if (measured_users_[i] && !resistive_way) continue;
        BenchStep step = measured(MeterKind::volts, state, red, black);
        step.red = terminal_name(output ? edge.to_terminal : edge.from_terminal);
        step.black = terminal_name(output ? edge.from_terminal : edge.to_terminal);
        step.across = EdgeId(i);
        step.title = output ? fmt::format("Output of {}.", label_of(edge.part))
                            : fmt::format("At {}.", label_of(edge.part));
        step.if_not = output ? "another voltage: stop, nothing of what hangs on it may be connected; 0: its enable, its "
                               "fuse"
                             : "a minus sign: turned round, switch off at once; 0: fuse, plug or switch on the way";
        expect(step);
        if (edge.role == EdgeRole::controller) add_precharge_text(step, mode);
        measured_users_[i] = true;
        add(std::move(step));
    }
}

void PowerUpWriter::add_precharge_text(BenchStep& step, ModeId mode) const {
    for (const ModeEntry& entry : transients_.entries) {
        if (entry.from != mode || entry.corner != Corner::run_full) continue;
        for (const CapacitorState& each : entry.capacitors) {
            if (circuit_.edge(each.edge).part != circuit_.edge(step.across).part) continue;
            if (!std::isfinite(each.resistance_ohm) || !std::isfinite(each.needed_s)) continue;
            const double tau_s = each.resistance_ohm * each.capacitance_F;
            step.basis = fmt::format(
                "rises in one sweep through {}: {} x {} = {}; 63 % after {}, 95 % after {}",
                to_text(each.resistance_ohm, Dimension::resistance), to_text(each.resistance_ohm, Dimension::resistance),
                to_text(each.capacitance_F, Dimension::capacitance), to_text(tau_s, Dimension::time),
                to_text(tau_s, Dimension::time), to_text(3 * tau_s, Dimension::time));
            step.if_not = "stays at 0: the precharge way is open; stops at U: something takes (U0 - U) / " +
                          to_text(each.resistance_ohm, Dimension::resistance) +
                          "; at U0 at once: the resistor is bridged or a contact is welded";
            const double energy_J = each.capacitance_F * each.settles_V * each.settles_V / 2;
            step.caution = fmt::format(
                "{} holds {} once it is charged: measure before touching its plug. Wheels off the ground, hands off "
                "the grip. Wait a minute between tries: the resistor takes {} each time.",
                part(circuit_.edge(each.edge).part).name, to_text(energy_J, Dimension::energy),
                to_text(energy_J, Dimension::energy));
        }
    }
}

std::vector<PowerUpWriter::Action> PowerUpWriter::actions_towards(const Mode& target,
                                                                  const std::vector<bool>& carries) const {
    std::vector<Action> actions;
    for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
        const PartId id(i);
        const Kind kind = harness_.parts[i].kind;
        if (!by_hand(kind) && !by_coil(kind)) continue;
        bool differs = false, needed = false;
        double rank_m = std::numeric_limits<double>::infinity();
        for (const EdgeId each : circuit_.edges_of_part[i]) {
            const Edge& edge = circuit_.edge(each);
            if (edge.role == EdgeRole::coil) continue;
            differs = differs || is_closed(circuit_, target, edge) != is_closed(circuit_, now_.postures, edge);
            needed = needed || carries[each.index()];
            rank_m = std::min({rank_m, rank_m_[edge.from.index()], rank_m_[edge.to.index()]});
        }
        const bool only_if_needed = kind == Kind::fuse || kind == Kind::breaker || kind == Kind::connector;
        if (differs && (needed || !only_if_needed)) actions.push_back({id, rank_m, by_coil(kind)});
    }
    std::stable_sort(actions.begin(), actions.end(), [](const Action& a, const Action& b) {
        return std::pair(a.by_coil, a.rank_m) < std::pair(b.by_coil, b.rank_m);
    });
    return actions;
}

void PowerUpWriter::take_action(const Mode& target, const Action& action) {
    const Part& what = part(action.part);
    const std::size_t i = action.part.index();
    // What it lies between: the contact that carries most once all is done, else the first.
    EdgeId at;
    const BenchMachine::Live later = expected_.least().live({target, true, false}, 0.5);
    for (const EdgeId each : circuit_.edges_of_part[i]) {
        const Edge& edge = circuit_.edge(each);
        if (edge.role == EdgeRole::coil || edge.from == edge.to) continue;
        if (!at || std::abs(later.edge_A[each.index()]) > std::abs(later.edge_A[at.index()])) at = each;
    }
    const bool plug = what.kind == Kind::connector;
    const bool mates = plug && target.states[i].posture == Posture::mated;
    const auto read_at = [&](NodeId node, NodeId other, std::size_t state, const std::string& title,
                             const std::string& how, const std::string& if_not) {
        BenchStep step;
        if (node && other)
            step = runs_.forward(node) ? measured(MeterKind::volts, state, node, other)
                                       : measured(MeterKind::volts, state, other, node);
        step.across = at;
        step.title = title;
        step.how = how;
        step.if_not = if_not;
        if (step.meter == MeterKind::look) {
            step.state = state;
            step.live = true;
            step.expect = "no spark, no sound, no smell";
        } else {
            expect(step);
        }
        add(std::move(step));
    };
    if (mates && at) {
        // Which way round it is, while nothing can be hurt: from the half that is fed.
        const Edge& edge = circuit_.edge(at);
        const NodeId far = far_end(edge), near = far == edge.from ? edge.to : edge.from;
        NodeId other;
        for (const EdgeId each : circuit_.edges_of_part[i]) {
            const Edge& beside = circuit_.edge(each);
            const NodeId same_half = near == edge.from ? beside.from : beside.to;
            if (same_half != near && runs_.back(same_half) && !runs_.forward(same_half)) other = same_half;
        }
        if (!other) other = runs_.across(near);
        const double there_V = other ? std::abs(expected_.least().volts(now_, 0.5, near, other)) : 0;
        const std::string_view name = what.name;
        read_at(there_V > fed_V ? near : NodeId(), other, add_state(now_), fmt::format("{} still apart.", label_of(action.part)),
                fmt::format("Then mate {}.", name), "a minus sign: the plug is crossed, do not mate it; 0: what feeds it");
        now_.postures.states[i] = target.states[i];
        return;
    }
    now_.postures.states[i] = target.states[i];
    if (!at) return;
    const NodeId far = far_end(circuit_.edge(at)), other = runs_.across(far);
    const bool into = what.kind == Kind::fuse && target.states[i].posture != Posture::open;
    const std::string title =
        fmt::format("{} {}.", label_of(action.part),
                    into ? std::string_view("in") : what.kind == Kind::fuse ? std::string_view("out") : posture_word(target.states[i].posture));
    const bool closes = is_closed(circuit_, now_.postures, circuit_.edge(at));
    read_at(far, other, add_state(now_), title, "",
            closes ? fmt::format("0: contact of {} or what feeds it; test fuse blown: a short behind it", what.name)
                   : fmt::format("voltage stays: {} is bridged, or something else feeds it", what.name));
}

void PowerUpWriter::write_mode(ModeId id) {
    const Mode& mode = harness_.modes[id.index()];
    const Mode target = quiet(circuit_, mode);
    BenchPart& here = begin(fmt::format("Mode {}", mode.name));
    here.lead = "Controllers are asked for nothing. One thing after the other, each with its reading.";
    const BenchMachine::Live later = expected_.least().live({target, true, false}, 0.5);
    std::vector<bool> carries(circuit_.edges.size(), false);
    for (std::size_t i = 0; i < carries.size(); ++i) carries[i] = std::abs(later.edge_A[i]) > carries_A;
    const std::vector<Action> actions = actions_towards(target, carries);
    // What no hand switches stands as the mode has it from the beginning.
    Mode beginning = target;
    for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
        const Kind kind = harness_.parts[i].kind;
        if (by_hand(kind) || by_coil(kind)) beginning.states[i] = now_.postures.states[i];
    }
    beginning.pin_states = now_.postures.pin_states;
    now_.postures = std::move(beginning);
    for (const Action& action : actions) {
        if (action.by_coil) now_.postures.pin_states = target.pin_states;
        take_action(target, action);
        write_users(add_state(now_), id, true);
    }
    now_.postures.pin_states = target.pin_states;
    const std::size_t state = add_state(now_);
    write_users(state, id);
    write_clamps(state, fmt::format("All of {}, nothing asked of the controllers.", mode.name));
    for (const OperatingPoint& point : results_.points)
        if (point.mode == id && !any_mode_) any_mode_ = true;
    liveliest_ = now_.postures;
}

// What lets go when its coil is no longer fed.
std::vector<PartId> PowerUpWriter::dependents_of(const BenchState& state) const {
    BenchState here = state;
    return let_go(expected_.least(), facts_, here);
}

void PowerUpWriter::write_stops() {
    if (!any_mode_) return;
    const BenchState running{liveliest_, true, false};
    const BenchMachine::Live live = expected_.least().live(running, 0.5);
    const std::vector<PartId> already = dependents_of(running);
    const auto is_drive = [&](const Edge& edge) {
        return edge.role == EdgeRole::controller || edge.role == EdgeRole::converter_input ||
               facts_.quantity(edge.part, "stall"_attr).has_value();
    };
    begin("Every stop, before anything turns").lead =
        "All as in the part before, wheels off the ground. Each alone, then as it was.";
    for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
        const Kind kind = harness_.parts[i].kind;
        const PartId id(i);
        if ((kind != Kind::switch_ && kind != Kind::breaker) || liveliest_.states[i].posture != Posture::closed) continue;
        BenchState opened = running;
        opened.postures.states[i].posture = Posture::open;
        std::vector<PartId> released = dependents_of(opened);
        std::erase_if(released, [&](PartId each) { return std::find(already.begin(), already.end(), each) != already.end(); });
        for (const PartId each : released) set_pulled(circuit_, opened.postures, each, false);
        // The largest of what then has no voltage: the first controller, else what draws most.
        const BenchMachine::Live dead = expected_.least().live(opened, 0.5);
        EdgeId shown;
        for (std::size_t e = 0; e < circuit_.edges.size(); ++e) {
            const Edge& edge = circuit_.edges[e];
            if (!uses_power(edge.role)) continue;
            const auto drop = [&](const BenchMachine::Live& at) {
                return std::abs(at.node_V[edge.from.index()] - at.node_V[edge.to.index()]);
            };
            if (drop(live) < fed_V || drop(dead) > 0.5 * drop(live)) continue;
            if (!shown || (edge.role == EdgeRole::controller && circuit_.edge(shown).role != EdgeRole::controller))
                shown = EdgeId(e);
        }
        if (!shown || (released.empty() && !is_drive(circuit_.edge(shown)))) continue;
        const Edge& edge = circuit_.edge(shown);
        BenchStep step = measured(MeterKind::volts, add_state(opened), edge.from, edge.to);
        step.red = terminal_name(edge.from_terminal);
        step.black = terminal_name(edge.to_terminal);
        step.across = shown;
        step.title = fmt::format("{} opened.", label_of(id));
        step.how = released.empty() ? std::string() : names(released) + " must let go at once.";
        step.how += step.how.empty() ? "Then close it again." : " Then close it again.";
        expect(step);
        for (const Discharge& each : transients_.discharges) {
            if (circuit_.edge(each.edge).part != edge.part || each.after_5s_V < 1) continue;
            step.basis = fmt::format("falls slowly from {}: the capacitors of {}; below {} after 5 s",
                                     to_text(each.from_V, Dimension::voltage), part(edge.part).name,
                                     to_text(rounded_up(each.after_5s_V), Dimension::voltage));
            break;
        }
        step.if_not = released.empty() ? "voltage stays: a way round the switch. Do not go on"
                                       : fmt::format("voltage stays: {} is welded, or something holds its coil. Do not go on",
                                                     names(released));
        add(std::move(step));
    }
    if (sheet_.parts.back().steps.empty()) sheet_.parts.pop_back();
}

void PowerUpWriter::write_live_parts() {
    if (sheet_.packs.empty()) return;
    write_pack_on();
    for (std::size_t m = 0; m < harness_.modes.size(); ++m) {
        const ModeId mode(m);
        if (is_silent(mode) || is_charging(harness_.modes[m])) continue;
        const std::size_t parts = sheet_.parts.size();
        write_mode(mode);
        // A mode that differs in what the controllers do has nothing of its own here.
        const BenchPart& last = sheet_.parts.back();
        const bool acts = std::any_of(last.steps.begin(), last.steps.end(),
                                      [](const BenchStep& step) { return step.meter != MeterKind::amps; });
        if (!acts) sheet_.parts.resize(parts);
    }
    write_stops();
    BenchStep step;
    std::vector<PartId> in_place;
    for (std::size_t i = 0; i < harness_.parts.size(); ++i)
        if (harness_.parts[i].kind == Kind::fuse && !harness_.parts[i].holder) in_place.emplace_back(i);
    step.title = "Take the leads of the pack off, the test lead out, the fuse itself in.";
    step.how = "Torque as in the first part, then fit the leads again.";
    step.expect = in_place.empty() ? "as listed" : "as listed: " + names(in_place);
    step.if_not = "another fuse than listed: do not go on";
    if (!sheet_.parts.empty()) add(std::move(step));
}

}  // namespace loomward
