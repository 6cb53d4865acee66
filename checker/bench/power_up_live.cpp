// The pack is connected, then each mode of the file is entered one action at a time: a switch, a fuse, a
// plug; after each the voltage that comes with it, or that may not. Controllers are asked for nothing yet.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/live_nets.hpp"
#include "checker/bench/power_up_writer.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

bool PowerUpWriter::is_charging(const Mode& mode) const {
    for (std::size_t i = 0; i < harness_.parts.size(); ++i)
        if (delivers(mode, PartId(i))) return true;
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
        "From here the pack can burn you. One hand, eye cover, second person at the disconnect. With all "
        "fuses out "
        "nothing hangs on the pack: its leads must go on without a spark. A spark means that something is "
        "still "
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
        step.if_not =
            "outside it: another pack, or a cell that is not well: neither charge nor use it; a minus "
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
        step.title = fmt::format("Fit the leads of the pack, {} out, the test lead in its place.",
                                 part(edge.part).name);
        step.how = "Everything else as before: switches off, all other fuses out, all plugs apart.";
        step.if_not =
            "0: battery management that has not woken, or the leads; test fuse blown: a short, back to "
            "the rows of the part before";
        expect(step);
        add(std::move(step));
        any = true;
    }
    if (!any) {
        BenchStep step;
        step.title = "Fit the leads of the pack.";
        step.how =
            "All switches off, all fuses out, all plugs apart. No single device stands next to the pack, so "
            "no "
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
        if (std::abs(near_V) < live_V) continue;
        BenchStep step = measured(MeterKind::volts, state, behind, other);
        step.across = EdgeId(i);
        step.title =
            fmt::format("Behind {}, {}.", part(edge.part).name, is_protective(edge.role) ? "out" : "open");
        step.if_not = fmt::format("U0 here: {} is bridged or welded. Take the lead of the pack off",
                                  part(edge.part).name);
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
        if (step.most <= 0 && step.least < -seen_A) step.sign = -1, expect(step);
        step.how = clamp_text(step, wire) + " Below 1 A: the meter in series with the test lead.";
        // Who takes most of it.
        const BenchMachine::Live live = expected_.least().live(sheet_.states[state], 0.5);
        std::vector<std::pair<double, PartId>> takers;
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i)
            if (uses(circuit_.edges[i].role) && circuit_.edges[i].part && std::abs(live.edge_A[i]) > seen_A)
                takers.emplace_back(std::abs(live.edge_A[i]), circuit_.edges[i].part);
        std::stable_sort(takers.begin(), takers.end(),
                         [](const auto& a, const auto& b) { return a.first > b.first; });
        for (std::size_t i = 0; i < takers.size() && i < 4; ++i) {
            const std::string_view who = part(takers[i].second).name;
            step.basis +=
                fmt::format("{}{} {}", i == 0 ? "" : ", ", who, to_text(takers[i].first, Dimension::current));
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
        if ((!uses_power(edge.role) && !output) || edge.from == edge.to || (outputs_only && !output))
            continue;
        const NodeId red = output ? edge.to : edge.from, black = output ? edge.from : edge.to;
        const bool resistive_way = edge.role == EdgeRole::controller;
        if (std::abs(live.node_V[red.index()] - live.node_V[black.index()]) < live_V) continue;
        if (!measured_users_[i].empty() && !resistive_way) continue;
        BenchStep step = measured(MeterKind::volts, state, red, black);
        step.red = terminal_name(output ? edge.to_terminal : edge.from_terminal);
        step.black = terminal_name(output ? edge.from_terminal : edge.to_terminal);
        step.across = EdgeId(i);
        step.title = output ? fmt::format("Output of {}.", label_of(edge.part))
                            : fmt::format("At {}.", label_of(edge.part));
        step.if_not =
            output
                ? "another voltage: stop, nothing of what hangs on it may be connected; 0: its enable, its "
                  "fuse"
                : "a minus sign: turned round, switch off at once; 0: fuse, plug or switch on the way";
        expect(step);
        if (measured_users_[i] == step.expect) continue;
        measured_users_[i] = step.expect;
        if (edge.role == EdgeRole::controller) add_precharge_text(step, mode);
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
                to_text(each.resistance_ohm, Dimension::resistance),
                to_text(each.resistance_ohm, Dimension::resistance),
                to_text(each.capacitance_F, Dimension::capacitance), to_text(tau_s, Dimension::time),
                to_text(tau_s, Dimension::time), to_text(3 * tau_s, Dimension::time));
            step.if_not = "stays at 0: the precharge way is open; stops at U: something takes (U0 - U) / " +
                          to_text(each.resistance_ohm, Dimension::resistance) +
                          "; at U0 at once: the resistor is bridged or a contact is welded";
            const double energy_J = each.capacitance_F * each.settles_V * each.settles_V / 2;
            step.caution = fmt::format(
                "{} holds {} once it is charged: measure before touching its plug. Wheels off the ground, "
                "hands off "
                "the grip. Wait a minute between tries: the resistor takes {} each time.",
                part(circuit_.edge(each.edge).part).name, to_text(energy_J, Dimension::energy),
                to_text(energy_J, Dimension::energy));
        }
    }
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
