#include "checker/currents/operating_point.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/latching.hpp"
#include "checker/currents/grouping.hpp"
#include "checker/currents/mode_network.hpp"
#include "checker/parts/accepted.hpp"
#include "checker/parts/coil_levels.hpp"
#include "checker/parts/elements.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

using namespace literals;

namespace {

// A load behind an open switch has next to no voltage, as a share of its knee: it is not fed, not overfed.
constexpr double has_no_supply = 0.02;
// Of a returned current: below it something takes only a part.
constexpr double taken_share = 0.99;
// A load below this share of its rated voltage is not fed; where that is not known, below this voltage. No
// source.
constexpr double dead_share = 0.1, dead_V = 1;

// A coil that is said to hold but has hardly any voltage, or is said to be at rest and has enough to pull.
void find_coil_contradictions(const Circuit& circuit, const Facts& facts, const Mode& mode,
                              OperatingPoint& point) {
    const auto add = [&](PartId part, double volts, Contradiction::Kind kind) {
        point.contradictions.push_back(
            {part, volts, kind, is_accepted(*circuit.harness, "mode-contradicts", part, point.mode)});
    };
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::coil || is_latching(*circuit.harness, edge.part)) continue;
        const auto rated = facts.quantity(edge.part, "coil"_attr, 0);
        if (!rated) continue;
        const Posture posture = mode.states[edge.part.index()].posture;
        const bool pulled = posture == Posture::closed || posture == Posture::energised;
        const double volts = std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
        // Coils that fall off because the voltage breaks down are not the mode's fault.
        if (pulled && volts < coil_lets_go * rated->lo && point.collapsed.empty())
            add(edge.part, volts, Contradiction::Kind::coil_dead);
        if (!pulled && volts > coil_pulls_in * rated->lo)
            add(edge.part, volts, Contradiction::Kind::coil_live);
    }
}

void find_dead_controllers(const Circuit& circuit, const Facts& facts, const Mode& mode,
                           OperatingPoint& point) {
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::controller) continue;
        const State& state = mode.states[edge.part.index()];
        if (state.profile < 0 || mode.profiles[static_cast<std::size_t>(state.profile)].flow != Flow::draws)
            continue;
        const auto input = facts.quantity(edge.part, "input"_attr);
        const double volts = point.node_V[edge.from.index()] - point.node_V[edge.to.index()];
        if (input && std::abs(volts) < 0.1 * input->lo)
            point.contradictions.push_back({edge.part, volts, Contradiction::Kind::no_supply});
    }
}

// A load that the mode itself calls on, or says the draw of, and that has hardly any voltage. Where others
// ask for more than there is, that is told of those.
void find_dead_loads(const Circuit& circuit, const Facts& facts, const Mode& mode, double time_s,
                     OperatingPoint& point) {
    if (mode.own || !point.collapsed.empty()) return;
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::load) continue;
        const State& state = mode.states[edge.part.index()];
        if (state.stated_by != StatedBy::line && state.stated_by != StatedBy::inherited) continue;
        bool on = state.posture == Posture::on;
        if (state.profile >= 0) {
            const Level& level = level_at(mode.profiles[static_cast<std::size_t>(state.profile)], time_s);
            on = level.amount.hi > 0 || !level.amount.is_known();
        }
        if (!on) continue;
        const auto rated = facts.quantity(edge.part, "(rated-voltage)"_attr);
        const double volts = std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
        if (volts < (rated ? dead_share * rated->lo : dead_V))
            point.contradictions.push_back({edge.part, volts, Contradiction::Kind::no_supply});
    }
}

// Phase leads have no direct current of their own: they carry what the mode says that the controller's phases
// do, all the way to the motor.
void fill_phase_currents(const Circuit& circuit, const Facts& facts, const Mode& mode, double time_s,
                         OperatingPoint& point) {
    std::vector<double> island_A(circuit.node_count(), 0);
    bool any = false;
    for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i) {
        const Part& part = circuit.harness->parts[i];
        const State& state = mode.states[i];
        if (part.kind != Kind::controller || state.phase_profile < 0) continue;
        const Level& level = level_at(mode.profiles[static_cast<std::size_t>(state.phase_profile)], time_s);
        const std::optional<Setting> limit = phase_limit(facts, PartId(i));
        const bool setting = level.limit || !level.amount.is_known();
        const double amps = setting ? (limit ? limit->current_A : 0) : level.amount.hi;
        for (std::uint32_t k = 0; k < part.terminals.count; ++k) {
            const TerminalId terminal(part.terminals.first + k);
            if (!is_motor_lead(circuit.harness->terminal(terminal).role)) continue;
            island_A[circuit.island_of_node[circuit.node(terminal).index()]] = amps;
            any = true;
        }
    }
    if (!any) return;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const double amps = island_A[circuit.island_of_node[edge.from.index()]];
        if (amps > 0 && is_conductor(edge.role) && is_closed(circuit, mode, edge)) point.edge_A[i] = amps;
    }
}

// What hangs together in a mode without passing a load: a source both of whose ends are in one such piece is
// shorted.
void find_dead_shorts(const Circuit& circuit, const Mode& mode, OperatingPoint& point) {
    DisjointSets pieces(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (is_conductor(edge.role) && is_closed(circuit, mode, edge))
            pieces.join(edge.from.index(), edge.to.index());
    for (const Edge& edge : circuit.edges) {
        const bool pack = edge.role == EdgeRole::emf;
        const bool limits_itself = edge.role == EdgeRole::charger || edge.role == EdgeRole::converter_output;
        if ((pack || limits_itself) && pieces.same(edge.from.index(), edge.to.index()))
            point.contradictions.push_back(
                {edge.part, 0, pack ? Contradiction::Kind::dead_short : Contradiction::Kind::output_short});
    }
}

// A load made for more than its supply has with nothing drawn is no overload: it draws in proportion to what
// it gets, and rules wrong-rail and undervoltage tell. Makes such loads resistors; true if there was one. Not
// the input of a converter: its output is given as long as it is fed. `is_load(branch)`.
template <class IsLoad>
bool underfed_as_resistors(Network& network, const NetworkSolution& solution, IsLoad is_load) {
    const auto amps_at_knee = [](const Branch& load) {
        return load.type == Branch::Type::current_load ? load.current_A : load.power_W / load.knee_V;
    };
    Network idle = network;
    for (const std::uint32_t branch : solution.collapsed)
        if (Branch& load = idle.branches[branch]; is_load(branch))
            load.current_A *= 1e-6, load.power_W *= 1e-6;
    const NetworkSolution open = solve(idle);
    if (open.status == SolveStatus::not_converged) return false;
    bool any = false;
    for (const std::uint32_t branch : solution.collapsed) {
        Branch& load = network.branches[branch];
        if (!is_load(branch)) continue;
        const double stands_V = open.node_V[load.from] - open.node_V[load.to];
        const double gets_V = load.both_ways ? std::abs(stands_V) : stands_V;
        if (gets_V >= load.knee_V || gets_V <= has_no_supply * load.knee_V) continue;
        load.resistance_ohm = load.knee_V / amps_at_knee(load);
        load.type = Branch::Type::resistor;
        any = true;
    }
    return any;
}

// `kept`: gets the network that was solved in the end; may be none.
OperatingPoint solve_interval(const Circuit& circuit, const Facts& facts, const CornerValues& values,
                              const Mode& mode, ModeId id, const Interval& interval,
                              SolvedNetwork* kept = nullptr) {
    OperatingPoint point{id,
                         values.corner,
                         interval.from_s,
                         interval.duration_s,
                         repeats(mode),
                         false,
                         {},
                         {},
                         {},
                         0,
                         {},
                         {},
                         {},
                         {},
                         {}};
    find_dead_shorts(circuit, mode, point);
    if (std::any_of(point.contradictions.begin(), point.contradictions.end(),
                    [](const Contradiction& what) { return what.voids_the_mode(); })) {
        point.status = SolveStatus::not_converged;
        return point;
    }
    const bool hot = takes_largest_resistance(values.corner);
    std::vector<double> wire_degC(circuit.harness->wires.size());
    std::vector<Quantity> ambient(wire_degC.size());
    for (std::size_t i = 0; i < wire_degC.size(); ++i) {
        ambient[i] = facts.ambient(WireId(i), id);
        wire_degC[i] = hot ? ambient[i].hi : ambient[i].lo;
    }
    NetworkBuilder builder(circuit, facts, values, mode, just_after_its_start(interval));
    builder.build(wire_degC);
    NetworkSolution solution = solve(builder.network());
    if (builder.cap_controllers(solution)) {
        builder.build(wire_degC);
        solution = solve(builder.network());
    }
    // Once more with the conductors as warm as their current makes them: the rise goes with its square.
    if (hot && solution.status != SolveStatus::not_converged) {
        std::vector<double> wire_A(wire_degC.size(), 0);
        for (std::size_t i = 0; i < wire_A.size(); ++i)
            if (const BranchId branch = builder.branch_of(circuit.edge_of_wire[i]))
                wire_A[i] = std::abs(solution.branch_A[branch.index()]);
        const std::vector<Surroundings> around = surroundings_of(circuit, facts, wire_A, id);
        for (std::size_t i = 0; i < wire_degC.size(); ++i) {
            if (!builder.branch_of(circuit.edge_of_wire[i]) || !circuit.harness->wires[i].area.is_known())
                continue;
            const double limit_degC = conductor_limit_degC(facts, WireId(i));
            const double may_A = limit_A(facts, WireId(i), around[i]);
            const double load = may_A > 0 ? wire_A[i] / may_A : 1;
            wire_degC[i] =
                ambient[i].hi + std::max(0.0, limit_degC - ambient[i].hi) * std::min(1.0, load * load);
        }
        builder.cap_controllers(solution);
        builder.build(wire_degC);
        solution = solve(builder.network());
    }
    Network asked;  // where not all of it can be had
    std::vector<HeldLoad> held;
    std::optional<Network> asked_and_held;
    if (solution.status == SolveStatus::collapsed) {
        asked = builder.network();
        const auto is_load = [&](std::uint32_t branch) {
            const Branch::Type type = asked.branches[branch].type;
            return circuit.edge(builder.edge_of(branch)).role == EdgeRole::load &&
                   (type == Branch::Type::current_load || type == Branch::Type::power_load);
        };
        if (underfed_as_resistors(asked, solution, is_load)) solution = solve(asked);
    }
    if (solution.status == SolveStatus::collapsed) {
        Network network = asked;
        held = hold_what_cannot_be_fed(network, solution, has_no_supply);
        if (!held.empty()) asked_and_held = std::move(network);
    }
    if (kept) {
        kept->network = asked_and_held ? *asked_and_held : asked.branches.empty() ? builder.network() : asked;
        kept->solution = solution;
        for (std::size_t i = 0; i < kept->network.branches.size(); ++i)
            kept->edge_of_branch.push_back(builder.edge_of(static_cast<std::uint32_t>(i)));
    }
    point.status = solution.status;
    point.worst_residual_A = solution.worst_residual_A;
    if (solution.status == SolveStatus::not_converged) return point;
    point.node_V = std::move(solution.node_V);
    point.edge_A.assign(circuit.edges.size(), 0);
    for (std::size_t i = 0; i < solution.branch_A.size(); ++i)
        point.edge_A[builder.edge_of(static_cast<std::uint32_t>(i)).index()] = solution.branch_A[i];
    for (const HeldLoad& load : held) {
        point.collapsed.push_back(builder.edge_of(load.branch));
        point.held_share.push_back(load.share);
    }
    // What could not be held stays as it collapsed: like a resistor that draws what it would at its knee.
    for (const std::uint32_t branch : solution.collapsed) {
        const Branch& load = asked.branches[branch];
        const double share = (point.node_V[load.from] - point.node_V[load.to]) / load.knee_V;
        if (share <= has_no_supply && std::abs(point.edge_A[builder.edge_of(branch).index()]) <= trickle_A)
            continue;
        point.collapsed.push_back(builder.edge_of(branch));
        point.held_share.push_back(share);
    }
    for (std::size_t i = 0; i < builder.network().branches.size(); ++i) {
        const EdgeId edge = builder.edge_of(static_cast<std::uint32_t>(i));
        if (circuit.edge(edge).role == EdgeRole::regeneration &&
            point.edge_A[edge.index()] < taken_share * builder.network().branches[i].current_A)
            point.unabsorbed.push_back(edge);
    }
    point.status = point.collapsed.empty() ? SolveStatus::solved : SolveStatus::collapsed;
    fill_phase_currents(circuit, facts, mode, just_after_its_start(interval), point);
    // Nobody says of a mode of the program's own which coils hold: that is settled (own_modes).
    if (!mode.own) find_coil_contradictions(circuit, facts, mode, point);
    find_dead_controllers(circuit, facts, mode, point);
    find_dead_loads(circuit, facts, mode, just_after_its_start(interval), point);
    if (!point.collapsed.empty()) point.asked = std::make_shared<const Network>(std::move(asked));
    return point;
}

OperatingPoint at_another_time(OperatingPoint point, const Interval& interval) {
    point.from_s = interval.from_s;
    point.duration_s = interval.duration_s;
    point.again = true;
    return point;
}

}  // namespace

std::vector<OperatingPoint> solve_modes(const Circuit& circuit, const Facts& facts,
                                        std::string_view only_mode) {
    std::vector<OperatingPoint> points;
    const CornerValues corners[] = {values_at(circuit, facts, Corner::run_hot),
                                    values_at(circuit, facts, Corner::run_full)};
    for (std::size_t i = 0; i < circuit.harness->modes.size(); ++i) {
        const Mode& mode = circuit.harness->modes[i];
        if (!only_mode.empty() && mode.name != only_mode) continue;
        const std::vector<Interval> intervals = intervals_of(mode);
        for (const CornerValues& values : corners) {
            std::map<std::vector<const Level*>, std::size_t> solved;  // the first point at these levels
            for (const Interval& interval : intervals) {
                const auto [at, is_new] = solved.try_emplace(levels_at(mode, interval), points.size());
                points.push_back(is_new ? solve_interval(circuit, facts, values, mode, ModeId(i), interval)
                                        : at_another_time(points[at->second], interval));
            }
        }
    }
    return points;
}

SolvedNetwork solved_network(const Circuit& circuit, const Facts& facts, Corner corner, ModeId mode,
                             const Interval& interval) {
    SolvedNetwork made;
    made.point = solve_interval(circuit, facts, values_at(circuit, facts, corner),
                                circuit.harness->modes[mode.index()], mode, interval, &made);
    return made;
}

OperatingPoint solve_state(const Circuit& circuit, const Facts& facts, Corner corner, const Mode& state,
                           ModeId as) {
    OperatingPoint point = solve_interval(circuit, facts, values_at(circuit, facts, corner), state, as,
                                          intervals_of(state).front());
    // Nobody says of such a state which coils hold.
    std::erase_if(point.contradictions, [](const Contradiction& what) {
        return what.kind == Contradiction::Kind::coil_dead || what.kind == Contradiction::Kind::coil_live;
    });
    return point;
}

}  // namespace loomward
