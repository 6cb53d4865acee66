// Into a mode one action at a time, and out of it by every stop.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/bench/live_nets.hpp"
#include "checker/bench/power_up_writer.hpp"
#include "checker/currents/what_if.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

namespace {

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
            differs =
                differs || is_closed(circuit_, target, edge) != is_closed(circuit_, now_.postures, edge);
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
        read_at(there_V > live_V ? near : NodeId(), other, add_state(now_),
                fmt::format("{} still apart.", label_of(action.part)), fmt::format("Then mate {}.", name),
                "a minus sign: the plug is crossed, do not mate it; 0: what feeds it");
        now_.postures.states[i] = target.states[i];
        return;
    }
    now_.postures.states[i] = target.states[i];
    if (!at) return;
    const NodeId far = far_end(circuit_.edge(at)), other = runs_.across(far);
    const bool into = what.kind == Kind::fuse && target.states[i].posture != Posture::open;
    const std::string title = fmt::format("{} {}.", label_of(action.part),
                                          into                      ? std::string_view("in")
                                          : what.kind == Kind::fuse ? std::string_view("out")
                                                                    : posture_word(target.states[i].posture));
    const bool closes = is_closed(circuit_, now_.postures, circuit_.edge(at));
    read_at(far, other, add_state(now_), title, "",
            closes ? fmt::format("0: contact of {} or what feeds it; test fuse blown: a short behind it",
                                 what.name)
                   : fmt::format("voltage stays: {} is bridged, or something else feeds it", what.name));
}

void PowerUpWriter::write_mode(ModeId id) {
    const Mode& mode = harness_.modes[id.index()];
    const Mode target = quiet(circuit_, mode);
    BenchPart& here = begin(fmt::format("Mode {}", mode.name));
    here.lead = "Controllers are asked for nothing. One thing after the other, each with its reading.";
    const BenchMachine::Live later = expected_.least().live({target, true, false}, 0.5);
    std::vector<bool> carries(circuit_.edges.size(), false);
    for (std::size_t i = 0; i < carries.size(); ++i) carries[i] = std::abs(later.edge_A[i]) > seen_A;
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
        if ((kind != Kind::switch_ && kind != Kind::breaker) ||
            liveliest_.states[i].posture != Posture::closed)
            continue;
        BenchState opened = running;
        opened.postures.states[i].posture = Posture::open;
        std::vector<PartId> released = dependents_of(opened);
        std::erase_if(released, [&](PartId each) {
            return std::find(already.begin(), already.end(), each) != already.end();
        });
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
            if (drop(live) < live_V || drop(dead) > 0.5 * drop(live)) continue;
            if (!shown ||
                (edge.role == EdgeRole::controller && circuit_.edge(shown).role != EdgeRole::controller))
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
        step.if_not =
            released.empty()
                ? "voltage stays: a way round the switch. Do not go on"
                : fmt::format("voltage stays: {} is welded, or something holds its coil. Do not go on",
                              names(released));
        add(std::move(step));
    }
    if (sheet_.parts.back().steps.empty()) sheet_.parts.pop_back();
}

}  // namespace loomward
