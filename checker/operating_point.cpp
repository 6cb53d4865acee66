#include "checker/operating_point.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/disjoint_sets.hpp"
#include "checker/elements.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double forever = std::numeric_limits<double>::infinity();

double total_s(const Profile& profile) {
    double sum = 0;
    for (const Level& level : profile.levels) sum += level.duration_s.value_or(0);
    return sum;
}

// Everything about the circuit at one corner that does not change with the mode.
struct CornerValues {
    Corner corner{};
    std::vector<double> ohm_20;    // by EdgeId
    std::vector<double> ends_ohm;  // wires: the part that does not grow with temperature
};

CornerValues values_at(const Circuit& circuit, const Facts& facts, Corner corner) {
    CornerValues values{corner, {}, {}};
    values.ohm_20.reserve(circuit.edges.size());
    const double ends = corner == Corner::fault_max ? 0 : 2 * facts.policy("joint-resistance"_attr).hi;
    for (const Edge& edge : circuit.edges) {
        values.ohm_20.push_back(resistance_ohm(circuit, facts, edge, corner, 20));
        values.ends_ohm.push_back(edge.role == EdgeRole::wire ? ends : 0);
    }
    return values;
}

// Turns the circuit in one interval of a mode into branches.
class NetworkBuilder {
  public:
    NetworkBuilder(const Circuit& circuit, const Facts& facts, const CornerValues& values, const Mode& mode,
                   double time_s)
        : circuit_(circuit),
          facts_(facts),
          values_(values),
          mode_(mode),
          time_s_(time_s),
          capped_(circuit.harness->parts.size()) {}

    // Holds every controller that draws a power at its setting where the solution asks for more; true if one
    // was.
    bool cap_controllers(const NetworkSolution& solution) {
        bool changed = false;
        for (std::size_t i = 0; i < edge_of_branch_.size() && i < solution.branch_A.size(); ++i) {
            const Edge& edge = circuit_.edge(edge_of_branch_[i]);
            if (edge.role != EdgeRole::controller || network_.branches[i].type != Branch::Type::power_load)
                continue;
            const std::optional<Setting> limit = supply_limit(facts_, edge.part);
            if (!limit || solution.branch_A[i] <= limit->current_A) continue;
            capped_[edge.part.index()] = changed = true;
        }
        return changed;
    }

    // `wire_degC` by WireId.
    void build(const std::vector<double>& wire_degC) {
        network_ = {};
        network_.node_count = static_cast<std::uint32_t>(circuit_.node_count());
        branch_of_edge_.assign(circuit_.edges.size(), -1);
        edge_of_branch_.clear();
        network_.branches.reserve(circuit_.edges.size());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            edge_ = EdgeId(i);
            const Edge& edge = circuit_.edges[i];
            if (!is_closed(circuit_, mode_, edge)) continue;
            add(edge, wire_degC);
        }
        pair_converters();
    }
    const Network& network() const { return network_; }
    std::int32_t branch_of(EdgeId edge) const { return branch_of_edge_[edge.index()]; }
    EdgeId edge_of(std::uint32_t branch) const { return edge_of_branch_[branch]; }
    Branch& branch(EdgeId edge) { return network_.branches[static_cast<std::size_t>(branch_of(edge))]; }

  private:
    void put(Branch branch, const Edge& edge) {
        branch.from = edge.from.value;
        branch.to = edge.to.value;
        branch_of_edge_[edge_.index()] = static_cast<std::int32_t>(network_.branches.size());
        edge_of_branch_.push_back(edge_);
        network_.branches.push_back(branch);
    }
    void resistor(const Edge& edge, double ohm) {
        Branch branch;
        branch.resistance_ohm = ohm;
        put(branch, edge);
    }
    void draw_current(const Edge& edge, double amps, double knee_V) {
        if (amps <= 0) return;
        Branch branch;
        branch.type = Branch::Type::current_load;
        branch.current_A = amps;
        branch.knee_V = std::max(knee_V, 1e-3);
        put(branch, edge);
    }
    void draw_power(const Edge& edge, double watts, double knee_V) {
        if (watts <= 0) return;
        Branch branch;
        branch.type = Branch::Type::power_load;
        branch.power_W = watts;
        branch.knee_V = std::max(knee_V, 1e-3);
        put(branch, edge);
    }
    void limited(const Edge& edge, double volts, double amps) {
        if (volts <= 0 || amps <= 0) return;
        Branch branch;
        branch.type = Branch::Type::limited_source;
        branch.voltage_V = volts;
        branch.current_A = amps;
        branch.resistance_ohm = 1e-3;
        put(branch, edge);
    }

    void add(const Edge& edge, const std::vector<double>& wire_degC) {
        switch (edge.role) {
            case EdgeRole::wire: {
                const double ends = values_.ends_ohm[edge_.index()];
                const double conductor = values_.ohm_20[edge_.index()] - ends;
                resistor(edge,
                         std::max(1e-7, ends + at_temperature(conductor, wire_degC[edge.wire.index()],
                                                              circuit_.harness->wire(edge.wire).aluminium)));
                break;
            }
            case EdgeRole::emf:
                add_pack(edge);
                break;
            case EdgeRole::diode:
            case EdgeRole::converter_reverse:
                add_diode(edge);
                break;
            case EdgeRole::load:
                add_load(edge);
                break;
            case EdgeRole::controller:
                add_controller(edge);
                break;
            case EdgeRole::regeneration:
                add_regeneration(edge);
                break;
            case EdgeRole::converter_input:
                add_converter_input(edge);
                break;
            case EdgeRole::converter_output:
                add_converter_output(edge);
                break;
            case EdgeRole::charger:
                add_charger(edge);
                break;
            case EdgeRole::supply_pin:
            case EdgeRole::output_pin:
                add_pin(edge);
                break;
            case EdgeRole::capacitor:
                add_bleed(edge);
                break;
            default:
                resistor(edge, values_.ohm_20[edge_.index()]);
                break;
        }
    }

    void add_pack(const Edge& edge) {
        const std::optional<PackSection> section = pack_section(circuit_, facts_, edge, values_.corner);
        if (!section) return;  // rule missing-data says so
        Branch branch;
        branch.type = Branch::Type::emf;
        branch.voltage_V = section->voltage_V;
        branch.resistance_ohm = section->resistance_ohm;
        put(branch, edge);
    }

    void add_diode(const Edge& edge) {
        Branch branch;
        branch.type = Branch::Type::diode;
        branch.resistance_ohm = 1e-3;
        const auto drop =
            edge.role == EdgeRole::diode ? facts_.quantity(edge.part, "drop"_attr) : std::nullopt;
        branch.voltage_V = drop ? drop->hi : 0.5;
        put(branch, edge);
    }

    const State& state(const Edge& edge) const { return mode_.states[edge.part.index()]; }
    const Level* level(const State& state) const {
        return state.profile < 0
                   ? nullptr
                   : &level_at(mode_.profiles[static_cast<std::size_t>(state.profile)], time_s_);
    }

    void add_load(const Edge& edge) {
        const State& now = state(edge);
        if (now.posture == Posture::off) return;
        const Quantity rated = facts_.quantity(edge.part, "(rated-voltage)"_attr).value_or(Quantity{12, 12});
        const double power_knee = 0.5 * rated.lo;
        const double current_knee = 0.25 * rated.lo;
        if (const Level* stated = level(now); stated && !stated->limit) {
            if (stated->amount.dimension == Dimension::power)
                return draw_power(edge, stated->amount.hi, power_knee);
            return draw_current(edge, stated->amount.hi, current_knee);
        }
        const std::string_view acts = facts_.word(edge.part, "acts-as"_attr);
        const auto watts = facts_.quantity(edge.part, "(power)"_attr);
        const auto amps = facts_.quantity(edge.part, "(current)"_attr);
        const auto ohms = facts_.quantity(edge.part, "(resistance)"_attr);
        const bool full = values_.corner == Corner::run_full;
        if (ohms) return resistor(edge, std::max(ohms->lo, 1e-7));
        if (watts && watts->hi > 0) {
            // Unless it says, the worse of the two at each corner: a resistor draws more at a full pack.
            const bool as_resistor = acts == "resistor" || (acts.empty() && full);
            if (acts == "current") return draw_current(edge, watts->hi / rated.lo, current_knee);
            if (as_resistor) return resistor(edge, rated.lo * rated.lo / watts->hi);
            return draw_power(edge, watts->hi, power_knee);
        }
        if (amps && amps->hi > 0) {
            if (acts == "resistor") return resistor(edge, rated.lo / amps->hi);
            if (acts == "power") return draw_power(edge, rated.hi * amps->hi, power_knee);
            return draw_current(edge, amps->hi, current_knee);
        }
    }

    void add_controller(const Edge& edge) {
        const double standby = facts_.quantity(edge.part, "standby"_attr).value_or(Quantity{}).hi;
        const Quantity input = facts_.quantity(edge.part, "input"_attr).value_or(Quantity{10, 10});
        const double knee = 0.5 * input.lo;
        const Level* stated = level(state(edge));
        const bool draws =
            stated && mode_.profiles[static_cast<std::size_t>(state(edge).profile)].flow == Flow::draws;
        if (!draws) return draw_current(edge, standby, knee);
        const std::optional<Setting> limit = supply_limit(facts_, edge.part);
        if (stated->limit) return draw_current(edge, limit ? limit->current_A : 0, knee);
        if (stated->amount.dimension == Dimension::power) {
            // Never above its setting: a power that would ask for more at a low voltage is held at the
            // setting.
            if (limit && capped_[edge.part.index()]) return draw_current(edge, limit->current_A, knee);
            return draw_power(edge, stated->amount.hi, knee);
        }
        draw_current(
            edge,
            limit ? std::min(stated->amount.hi, std::max(limit->current_A, standby)) : stated->amount.hi,
            knee);
    }

    void add_regeneration(const Edge& edge) {
        const State& now = state(edge);
        const Level* stated = level(now);
        if (!stated || mode_.profiles[static_cast<std::size_t>(now.profile)].flow != Flow::returns) return;
        const auto regen = facts_.quantity(edge.part, "regen"_attr);
        const double amps = stated->limit ? (regen ? regen->hi : 0) : stated->amount.hi;
        const auto input = facts_.quantity(edge.part, "input"_attr);
        limited(edge, input ? input->hi : 1000, amps);
    }

    void add_converter_input(const Edge& edge) {
        if (state(edge).posture == Posture::off) return;
        const Quantity input = facts_.quantity(edge.part, "input"_attr).value_or(Quantity{10, 10});
        Branch branch;
        branch.type = Branch::Type::converter_input;
        branch.knee_V = std::max(0.5 * input.lo, 1e-3);
        branch.efficiency = std::clamp(
            facts_.quantity(edge.part, "efficiency"_attr).value_or(Quantity{80, 80}).lo / 100, 0.01, 1.0);
        branch.power_W = facts_.quantity(edge.part, "standby"_attr).value_or(Quantity{}).hi * input.lo;
        put(branch, edge);
    }
    void add_converter_output(const Edge& edge) {
        if (state(edge).posture == Posture::off) return;
        const auto volts = facts_.quantity(edge.part, "output"_attr, 0);
        const auto amps = facts_.quantity(edge.part, "output"_attr, 1);
        if (volts && amps)
            limited(edge, values_.corner == Corner::run_full ? volts->hi : volts->lo, amps->hi);
    }
    void pair_converters() {
        for (Branch& branch : network_.branches) {
            if (branch.type != Branch::Type::converter_input) continue;
            const EdgeId input =
                edge_of_branch_[static_cast<std::size_t>(&branch - network_.branches.data())];
            for (const EdgeId other : circuit_.edges_of_part[circuit_.edge(input).part.index()])
                if (circuit_.edge(other).role == EdgeRole::converter_output)
                    branch.partner = branch_of(other);
        }
    }

    void add_charger(const Edge& edge) {
        const Level* stated = level(state(edge));
        if (!stated) return;
        const auto volts = facts_.quantity(edge.part, "output"_attr, 0);
        const auto rated = facts_.quantity(edge.part, "output"_attr, 1);
        if (!volts) return;
        const double most = rated ? rated->hi : forever;
        limited(edge, volts->hi, stated->limit ? most : std::min(stated->amount.hi, most));
    }

    void add_pin(const Edge& edge) {
        std::size_t pin = 0;
        for (const Attribute& attribute :
             circuit_.harness->attributes_of(circuit_.harness->part(edge.part).attributes)) {
            if (attribute.name != "pin"_attr || pin++ != edge.way) continue;
            const auto values = circuit_.harness->values_of(attribute);
            if (edge.role == EdgeRole::output_pin) return limited(edge, values[2].hi, values[3].hi);
            return draw_current(edge, values[3].hi, 1);
        }
    }

    void add_bleed(const Edge& edge) {
        if (const auto bleed = facts_.quantity(edge.part, "bleed"_attr)) resistor(edge, bleed->lo);
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const CornerValues& values_;
    const Mode& mode_;
    double time_s_;
    std::vector<bool> capped_;  // by PartId
    EdgeId edge_;
    Network network_;
    std::vector<std::int32_t> branch_of_edge_;
    std::vector<EdgeId> edge_of_branch_;
};

// A coil that is said to hold but has hardly any voltage, or is said to be at rest and has enough to pull.
void find_coil_contradictions(const Circuit& circuit, const Facts& facts, const Mode& mode,
                              OperatingPoint& point) {
    for (const Edge& edge : circuit.edges) {
        if (edge.role != EdgeRole::coil) continue;
        const auto rated = facts.quantity(edge.part, "coil"_attr, 0);
        if (!rated) continue;
        const Posture posture = mode.states[edge.part.index()].posture;
        const bool pulled = posture == Posture::closed || posture == Posture::energised;
        const double volts = std::abs(point.node_V[edge.from.index()] - point.node_V[edge.to.index()]);
        if (pulled && volts < 0.3 * rated->lo)
            point.contradictions.push_back({edge.part, volts, Contradiction::Kind::coil_dead});
        if (!pulled && volts > 0.85 * rated->lo)
            point.contradictions.push_back({edge.part, volts, Contradiction::Kind::coil_live});
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
        const double amps = level.limit ? (limit ? limit->current_A : 0) : level.amount.hi;
        for (const std::string_view role : {"U", "V", "W", "M+", "M-"}) {
            const TerminalId terminal = circuit.harness->terminal_of(PartId(i), role);
            if (!terminal) continue;
            island_A[circuit.island_of_node[circuit.node(terminal).index()]] = amps;
            any = true;
        }
    }
    if (!any) return;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        const double amps = island_A[circuit.island_of_node[edge.from.index()]];
        const bool lead =
            edge.role == EdgeRole::wire || edge.role == EdgeRole::joint || edge.role == EdgeRole::contact;
        if (amps > 0 && lead && is_closed(circuit, mode, edge)) point.edge_A[i] = amps;
    }
}

// What hangs together in a mode without passing a load: a source both of whose ends are in one such piece is
// shorted.
void find_dead_shorts(const Circuit& circuit, const Mode& mode, OperatingPoint& point) {
    DisjointSets pieces(circuit.node_count());
    for (const Edge& edge : circuit.edges) switch (edge.role) {
            case EdgeRole::wire:
            case EdgeRole::joint:
            case EdgeRole::contact:
            case EdgeRole::fuse:
            case EdgeRole::breaker:
            case EdgeRole::switching:
            case EdgeRole::trip:
            case EdgeRole::shunt:
                if (is_closed(circuit, mode, edge)) pieces.join(edge.from.index(), edge.to.index());
                break;
            default:
                break;
        }
    for (const Edge& edge : circuit.edges)
        if ((edge.role == EdgeRole::emf || edge.role == EdgeRole::charger ||
             edge.role == EdgeRole::converter_output) &&
            pieces.same(edge.from.index(), edge.to.index()))
            point.contradictions.push_back({edge.part, 0, Contradiction::Kind::dead_short});
}

OperatingPoint solve_interval(const Circuit& circuit, const Facts& facts, const CornerValues& values,
                              ModeId id, const Interval& interval) {
    const Mode& mode = circuit.harness->modes[id.index()];
    OperatingPoint point{
        id, values.corner, interval.from_s, interval.duration_s, repeats(mode), {}, {}, {}, 0, {}, 1, {}};
    find_dead_shorts(circuit, mode, point);
    if (!point.contradictions.empty()) return point;
    const bool hot = takes_largest_resistance(values.corner);
    std::vector<double> wire_degC(circuit.harness->wires.size());
    std::vector<Quantity> ambient(wire_degC.size());
    for (std::size_t i = 0; i < wire_degC.size(); ++i) {
        ambient[i] = facts.ambient(WireId(i), id);
        wire_degC[i] = hot ? ambient[i].hi : ambient[i].lo;
    }
    NetworkBuilder builder(circuit, facts, values, mode, interval.from_s + 1e-9);
    builder.build(wire_degC);
    NetworkSolution solution = solve(builder.network());
    if (builder.cap_controllers(solution)) {
        builder.build(wire_degC);
        solution = solve(builder.network());
    }
    // Once more with the conductors as warm as their current makes them: the rise goes with its square.
    if (hot && solution.status != SolveStatus::not_converged) {
        for (std::size_t i = 0; i < wire_degC.size(); ++i) {
            const Wire& wire = circuit.harness->wires[i];
            const std::int32_t branch = builder.branch_of(circuit.edge_of_wire[i]);
            if (branch < 0 || !wire.area.is_known()) continue;
            const double limit_degC = conductor_limit_degC(facts, WireId(i));
            const double may_A =
                wire.parallel * ampacity_A(wire.area.lo, limit_degC, wire.aluminium, {ambient[i].hi});
            const double load =
                may_A > 0 ? std::abs(solution.branch_A[static_cast<std::size_t>(branch)]) / may_A : 1;
            wire_degC[i] =
                ambient[i].hi + std::max(0.0, limit_degC - ambient[i].hi) * std::min(1.0, load * load);
        }
        builder.cap_controllers(solution);
        builder.build(wire_degC);
        solution = solve(builder.network());
    }
    point.status = solution.status;
    point.worst_residual_A = solution.worst_residual_A;
    if (solution.status == SolveStatus::not_converged) return point;
    point.node_V = std::move(solution.node_V);
    point.edge_A.assign(circuit.edges.size(), 0);
    for (std::size_t i = 0; i < solution.branch_A.size(); ++i)
        point.edge_A[builder.edge_of(static_cast<std::uint32_t>(i)).index()] = solution.branch_A[i];
    for (const std::uint32_t branch : solution.collapsed) {
        // A load behind an open switch has next to no voltage, a reversed one has less: neither is overfed.
        const Branch& load = builder.network().branches[branch];
        const double across_V = point.node_V[load.from] - point.node_V[load.to];
        if (across_V > 0.02 * load.knee_V) point.collapsed.push_back(builder.edge_of(branch));
    }
    if (point.status == SolveStatus::collapsed && point.collapsed.empty()) point.status = SolveStatus::solved;
    fill_phase_currents(circuit, facts, mode, interval.from_s + 1e-9, point);
    find_coil_contradictions(circuit, facts, mode, point);
    find_dead_controllers(circuit, facts, mode, point);
    if (point.status == SolveStatus::collapsed && point.contradictions.empty())
        point.feedable_fraction = feedable_fraction(builder.network());
    return point;
}

}  // namespace

const Level& level_at(const Profile& profile, double time_s) {
    if (profile.repeating) {
        const double period = total_s(profile);
        if (period > 0) time_s = std::fmod(time_s, period);
    }
    for (const Level& level : profile.levels) {
        if (!level.duration_s || time_s < *level.duration_s) return level;
        time_s -= *level.duration_s;
    }
    return profile.levels.back();
}

bool repeats(const Mode& mode) {
    return std::any_of(mode.profiles.begin(), mode.profiles.end(),
                       [](const Profile& profile) { return profile.repeating && profile.levels.size() > 1; });
}

std::vector<Interval> intervals_of(const Mode& mode) {
    double horizon = 0;
    for (const Profile& profile : mode.profiles) horizon = std::max(horizon, total_s(profile));
    std::vector<double> cuts{0};
    for (const Profile& profile : mode.profiles) {
        const double period = total_s(profile);
        double start = 0;
        do {
            double at = start;
            for (const Level& level : profile.levels) {
                if (!level.duration_s) break;
                at += *level.duration_s;
                cuts.push_back(at);
            }
            start += period;
        } while (profile.repeating && period > 0 && start < horizon && cuts.size() < 4096);
    }
    std::sort(cuts.begin(), cuts.end());
    cuts.erase(std::unique(cuts.begin(), cuts.end(), [](double a, double b) { return b - a < 1e-9; }),
               cuts.end());
    std::vector<Interval> intervals;
    for (std::size_t i = 0; i + 1 < cuts.size(); ++i) intervals.push_back({cuts[i], cuts[i + 1] - cuts[i]});
    if (!repeats(mode)) intervals.push_back({cuts.back(), forever});
    return intervals;
}

std::vector<OperatingPoint> solve_modes(const Circuit& circuit, const Facts& facts,
                                        std::string_view only_mode) {
    std::vector<OperatingPoint> points;
    const CornerValues corners[] = {values_at(circuit, facts, Corner::run_hot),
                                    values_at(circuit, facts, Corner::run_full)};
    for (std::size_t i = 0; i < circuit.harness->modes.size(); ++i) {
        const Mode& mode = circuit.harness->modes[i];
        if (!only_mode.empty() && mode.name != only_mode) continue;
        const std::vector<Interval> intervals = intervals_of(mode);
        for (const CornerValues& values : corners)
            for (const Interval& interval : intervals)
                points.push_back(solve_interval(circuit, facts, values, ModeId(i), interval));
    }
    return points;
}

}  // namespace loomward
