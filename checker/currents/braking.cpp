#include "checker/currents/braking.hpp"

#include <algorithm>
#include <set>

#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"

namespace loomward {

using namespace literals;

namespace {

// Edges that may be solved in all, over as many positions as there are.
constexpr std::size_t affordable_edges = 200000;
constexpr std::size_t least_positions = 16;

bool may_return(const Circuit& circuit, const Facts& facts, PartId part) {
    if (circuit.harness->part(part).kind != Kind::controller) return false;
    const auto regen = facts.quantity(part, "regen"_attr);
    return regen && regen->hi > 0;
}

// The state with nothing drawing or giving, and profile 0 for returning at the setting.
Mode stilled(const Circuit& circuit, const Mode& base) {
    Mode still = base;
    Level limit;
    limit.limit = true;
    still.profiles = {Profile{Flow::returns, {limit}, false, {}}};
    for (std::size_t i = 0; i < still.states.size(); ++i) {
        State& state = still.states[i];
        state.profile = state.phase_profile = -1;
        const Kind kind = circuit.harness->parts[i].kind;
        if (kind == Kind::load || kind == Kind::converter || kind == Kind::inverter)
            state.posture = Posture::off;
    }
    return still;
}

// Every contact closed but those that a combination of positions leaves open.
Mode everything_closed(const Circuit& circuit, const std::vector<bool>& open) {
    const Harness& harness = *circuit.harness;
    Mode closed;
    closed.states.resize(harness.parts.size());
    closed.pin_states.resize(harness.driver_pins.size());
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Kind kind = harness.parts[i].kind;
        if (kind == Kind::connector) closed.states[i].posture = Posture::mated;
        if (kind == Kind::contactor || kind == Kind::switch_) closed.states[i].posture = Posture::closed;
    }
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (edge.role != EdgeRole::switching) continue;
        State& state = closed.states[edge.part.index()];
        const Kind kind = harness.part(edge.part).kind;
        if (kind == Kind::selector && !open[i]) {
            state.posture = Posture::at_position;
            state.position = edge.way;
        } else if (kind == Kind::relay && !open[i]) {
            state.posture = edge.throw_ == 0 ? Posture::energised : Posture::released;
        } else if (kind != Kind::selector && kind != Kind::relay && open[i]) {
            state.posture = Posture::open;
        }
    }
    return closed;
}

// What is open in each position that is tried: only what hangs together with a controller that returns makes
// one differ from another. Where they are too many, from all over their numbers, not the first ones: those
// differ in the first selectors alone.
std::vector<std::vector<bool>> positions_to_try(const Circuit& circuit, const std::vector<bool>& returning) {
    std::vector<bool> island(circuit.node_count(), false);
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::controller && returning[edge.part.index()])
            island[circuit.island_of_node[edge.from.index()]] = true;
    const Positions positions(circuit);
    std::vector<std::vector<bool>> masks;
    std::set<std::vector<bool>> seen;
    for (std::size_t number = 0; number < positions.count(); ++number) {
        std::vector<bool> open = positions.open(number), here;
        for (std::size_t i = 0; i < open.size(); ++i)
            if (circuit.edges[i].role == EdgeRole::switching &&
                island[circuit.island_of_node[circuit.edges[i].from.index()]])
                here.push_back(open[i]);
        if (seen.insert(std::move(here)).second) masks.push_back(std::move(open));
    }
    const std::size_t most =
        std::max(least_positions, affordable_edges / std::max<std::size_t>(1, circuit.edges.size()));
    if (masks.size() <= most) return masks;
    std::vector<std::vector<bool>> spread;
    for (std::size_t i = 0; i < most; ++i) spread.push_back(masks[i * (masks.size() - 1) / (most - 1)]);
    return spread;
}

}  // namespace

std::vector<OperatingPoint> brake_at_settings(const Circuit& circuit, const Facts& facts) {
    std::vector<OperatingPoint> points;
    const std::size_t parts = circuit.harness->parts.size();
    std::vector<bool> unused(parts, false);
    for (std::size_t i = 0; i < parts; ++i) unused[i] = may_return(circuit, facts, PartId(i));
    if (std::find(unused.begin(), unused.end(), true) == unused.end()) return points;
    const std::vector<bool> returning = unused;
    for (std::size_t m = 0; m < circuit.harness->modes.size(); ++m) {
        const Mode& mode = circuit.harness->modes[m];
        Mode braking = stilled(circuit, mode);
        bool any = false;
        for (std::size_t i = 0; i < parts; ++i) {
            if (!returning[i] || mode.states[i].profile < 0) continue;
            braking.states[i].profile = 0;
            unused[i] = false;
            any = true;
        }
        if (any) points.push_back(solve_state(circuit, facts, Corner::run_full, braking, ModeId(m)));
    }
    if (std::find(unused.begin(), unused.end(), true) == unused.end()) return points;
    for (const std::vector<bool>& open : positions_to_try(circuit, unused)) {
        Mode braking = stilled(circuit, everything_closed(circuit, open));
        for (std::size_t i = 0; i < parts; ++i)
            if (unused[i]) braking.states[i].profile = 0;
        points.push_back(solve_state(circuit, facts, Corner::run_full, braking, {}));
    }
    return points;
}

OperatingPoint brake_after(const Circuit& circuit, const Facts& facts, PartId controller,
                           ModeId while_braking, ModeId after) {
    const Mode& earlier = circuit.harness->modes[while_braking.index()];
    Mode braking = stilled(circuit, circuit.harness->modes[after.index()]);
    braking.profiles = earlier.profiles;
    braking.states[controller.index()].profile = earlier.states[controller.index()].profile;
    return solve_state(circuit, facts, Corner::run_full, braking, after);
}

}  // namespace loomward
