// The circuit in one interval of a mode, as the branches of a numeric network: what each kind of part does at
// a corner. Used by operating_point.cpp alone.
#pragma once
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "checker/currents/dead_outputs.hpp"
#include "checker/currents/operating_point.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/turned_round.hpp"
#include "checker/solver/network.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward {

using namespace literals;

// A controller that returns current is followed up to this many times the voltage it takes.
constexpr double returned_until = 1.25;

// Everything about the circuit at one corner that does not change with the mode.
struct CornerValues {
    Corner corner{};
    std::vector<double> ohm_20;    // by EdgeId
    std::vector<double> ends_ohm;  // wires: the part that does not grow with temperature
    std::vector<bool> both_ways;   // by PartId: loads that run either way round
};

inline CornerValues values_at(const Circuit& circuit, const Facts& facts, Corner corner) {
    CornerValues values{corner, {}, {}, turned_round(circuit, facts)};
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
          capped_(circuit.harness->parts.size()),
          dead_outputs_(dead_outputs(circuit, mode)) {}

    // Holds every controller that draws a power at its setting where the solution asks for more; true if one
    // was.
    bool cap_controllers(const NetworkSolution& solution) {
        bool changed = false;
        for (std::size_t i = 0; i < edge_of_branch_.size() && i < solution.branch_A.size(); ++i) {
            const Edge& edge = circuit_.edge(edge_of_branch_[i]);
            if (edge.role != EdgeRole::controller || network_.branches[i].type != Branch::Type::power_load)
                continue;
            // An inverter gives the power that is asked of it until it switches off.
            if (circuit_.harness->part(edge.part).kind == Kind::inverter) continue;
            const std::optional<Setting> limit = supply_limit(facts_, edge.part);
            if (!limit || solution.branch_A[i] <= limit->current_A) continue;
            // Where it is more at the highest voltage it takes as well, the mode contradicts the setting:
            // that is told (rule mode-above-setting), and judged by what the mode says.
            const auto input = facts_.quantity(edge.part, "input"_attr);
            if (input && network_.branches[i].power_W > limit->current_A * input->hi) continue;
            capped_[edge.part.index()] = changed = true;
        }
        return changed;
    }

    // `wire_degC` by WireId.
    void build(const std::vector<double>& wire_degC) {
        network_ = {};
        network_.node_count = static_cast<std::uint32_t>(circuit_.node_count());
        branch_of_edge_.assign(circuit_.edges.size(), BranchId());
        edge_of_branch_.clear();
        network_.branches.reserve(circuit_.edges.size());
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            edge_ = EdgeId(i);
            const Edge& edge = circuit_.edges[i];
            if (!is_closed(circuit_, mode_, edge)) continue;
            add(edge, wire_degC);
            const bool of_a_panel = edge.role == EdgeRole::panel || edge.role == EdgeRole::panel_input;
            if (!branch_of_edge_[i] && (lies_across(edge.role) || limits_itself(edge.role) || of_a_panel))
                network_.ties.push_back({edge.from.value, edge.to.value});
        }
        pair_converters();
    }
    const Network& network() const { return network_; }
    // Invalid where the edge carries nothing in this mode.
    BranchId branch_of(EdgeId edge) const { return branch_of_edge_[edge.index()]; }
    EdgeId edge_of(std::uint32_t branch) const { return edge_of_branch_[branch]; }

  private:
    void put(Branch branch, const Edge& edge) {
        branch.from = edge.from.value;
        branch.to = edge.to.value;
        branch_of_edge_[edge_.index()] = BranchId(network_.branches.size());
        edge_of_branch_.push_back(edge_);
        network_.branches.push_back(branch);
    }
    void resistor(const Edge& edge, double ohm) {
        Branch branch;
        branch.resistance_ohm = ohm;
        put(branch, edge);
    }
    // A load with a stall current is a motor: it runs both ways. So does one that contacts turn round.
    bool runs_both_ways(const Edge& edge) const {
        return edge.role == EdgeRole::load &&
               (values_.both_ways[edge.part.index()] || facts_.quantity(edge.part, "stall"_attr).has_value());
    }
    void draw_current(const Edge& edge, double amps, double knee_V) {
        if (amps <= 0) return;
        Branch branch;
        branch.type = Branch::Type::current_load;
        branch.both_ways = runs_both_ways(edge);
        branch.current_A = amps;
        branch.knee_V = std::max(knee_V, 1e-3);
        put(branch, edge);
    }
    void draw_power(const Edge& edge, double watts, double knee_V) {
        if (watts <= 0) return;
        Branch branch;
        branch.type = Branch::Type::power_load;
        branch.both_ways = runs_both_ways(edge);
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
                circuit_.harness->part(edge.part).kind == Kind::inverter ? add_inverter(edge)
                                                                         : add_controller(edge);
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
            case EdgeRole::panel:  // by rules of their own, in no mode: how the sun stands is not stated
            case EdgeRole::panel_input:
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
        // A level that nobody knows is at least its rating; missing-data asks for it.
        if (const Level* stated = level(now); stated && !stated->limit && stated->amount.is_known()) {
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
        // What nobody knows may be all that it is set to.
        if (stated->limit || !stated->amount.is_known())
            return draw_current(edge, limit ? limit->current_A : 0, knee);
        if (stated->amount.dimension == Dimension::power) {
            // A power that asks for more than the setting at a low voltage alone is held at the setting.
            if (limit && capped_[edge.part.index()]) return draw_current(edge, limit->current_A, knee);
            return draw_power(edge, stated->amount.hi, knee);
        }
        draw_current(edge, stated->amount.hi, knee);
    }

    void add_inverter(const Edge& edge) {
        const State& now = state(edge);
        if (now.posture == Posture::off) return;
        const Quantity input = facts_.quantity(edge.part, "input"_attr).value_or(Quantity{10, 10});
        const double knee = 0.5 * input.lo;
        const Level* stated = level(now);
        if (!stated)
            return draw_current(edge, facts_.quantity(edge.part, "standby"_attr).value_or(Quantity{}).hi,
                                knee);
        if (mode_.profiles[static_cast<std::size_t>(now.profile)].flow != Flow::draws) return;
        // What nobody knows may be all that it is rated for.
        if (stated->limit || !stated->amount.is_known())
            return draw_power(edge, rated_input_W(facts_, edge.part).value_or(0), knee);
        if (stated->amount.dimension == Dimension::power) return draw_power(edge, stated->amount.hi, knee);
        draw_current(edge, stated->amount.hi, knee);
    }

    void add_regeneration(const Edge& edge) {
        const State& now = state(edge);
        const Level* stated = level(now);
        if (!stated || mode_.profiles[static_cast<std::size_t>(now.profile)].flow != Flow::returns) return;
        const auto regen = facts_.quantity(edge.part, "regen"_attr);
        const bool setting = stated->limit || !stated->amount.is_known();
        const double amps = setting ? (regen ? regen->hi : 0) : stated->amount.hi;
        // It pushes its current out whatever the bus does; somewhat above what it takes it is past the point
        // of interest, and rule regeneration tells.
        const auto input = facts_.quantity(edge.part, "input"_attr);
        limited(edge, input ? returned_until * input->hi : 1000, amps);
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
        // How much it gives may not be known: then nothing says that it limits.
        const auto volts = facts_.quantity(edge.part, "output"_attr, 0);
        const auto amps = facts_.quantity(edge.part, "output"_attr, 1);
        if (volts)
            limited(edge, values_.corner == Corner::run_full ? volts->hi : volts->lo,
                    amps ? amps->hi : std::numeric_limits<double>::infinity());
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
        const State& now = state(edge);
        const Level* stated = level(now);
        if (!stated || mode_.profiles[static_cast<std::size_t>(now.profile)].flow != Flow::delivers) return;
        const Attr output = output_attribute(*circuit_.harness, edge.part);
        const auto volts = facts_.quantity(edge.part, output, 0);
        const auto rated = facts_.quantity(edge.part, output, 1);
        if (!volts) return;
        // A mode that says more than it can give is told of (rule mode-above-setting), and judged by what it
        // says.
        const double most = rated ? rated->hi : std::numeric_limits<double>::infinity();
        const bool setting = stated->limit || !stated->amount.is_known();
        limited(edge, volts->hi, setting ? most : stated->amount.hi);
    }

    void add_pin(const Edge& edge) {
        if (edge.role == EdgeRole::output_pin && dead_outputs_[edge_.index()]) return;
        const DevicePin& pin = pin_of(*circuit_.harness, edge);
        const double amps = circuit_.harness->current_of(pin).hi;
        if (edge.role == EdgeRole::output_pin)
            return limited(edge, circuit_.harness->voltage_of(pin).hi, amps);
        draw_current(edge, amps, 1);
    }

    void add_bleed(const Edge& edge) {
        if (const auto bleed = facts_.quantity(edge.part, "bleed"_attr)) resistor(edge, bleed->lo);
    }

    const Circuit& circuit_;
    const Facts& facts_;
    const CornerValues& values_;
    const Mode& mode_;
    double time_s_;
    std::vector<bool> capped_;        // by PartId
    std::vector<bool> dead_outputs_;  // by EdgeId; empty: none
    EdgeId edge_;
    Network network_;
    std::vector<BranchId> branch_of_edge_;
    std::vector<EdgeId> edge_of_branch_;
};

}  // namespace loomward
