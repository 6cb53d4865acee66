// What resistors take from charging and discharging, and how long capacitors stay charged.
#include <algorithm>

#include "checker/switching/mode_follower.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double least_pulse_W = 0.5;

bool is_resistor(const Circuit& circuit, EdgeId id) {
    const PartId part = circuit.edge(id).part;
    return part && circuit.harness->part(part).kind == Kind::resistor;
}

}  // namespace

// What a resistor goes on carrying when all is settled is no pulse of it: `settled_A` by branch, empty where
// nothing flows then.
bool ModeFollower::add_pulses(const Scene& scene, const ChargeCourse& charging, ModeId id, bool discharging,
                              const std::vector<double>& settled_A,
                              std::vector<ResistorPulse>& pulses) const {
    if (!charging.solved()) return false;
    double lasts_s = 0;
    const std::vector<double> from = charging.at(0), to = charging.at(1e9);
    for (std::size_t k = 0; k < from.size(); ++k) {
        if (std::abs(to[k] - from[k]) < 0.01 * std::max(std::abs(to[k]), std::abs(from[k]))) continue;
        const double time_s = charging.when(k, from[k] + 0.99 * (to[k] - from[k]));
        if (std::isfinite(time_s)) lasts_s = std::max(lasts_s, time_s);
    }
    if (lasts_s <= 0) return true;
    const NetworkSolution& moment = charging.moment();
    for (std::uint32_t i = 0; i < scene.network.branches.size(); ++i) {
        const EdgeId edge = scene.edge_of_branch[i];
        if (!edge || !is_resistor(circuit_, edge)) continue;
        const Branch& branch = scene.network.branches[i];
        const double drop_V = moment.node_V[branch.from] - moment.node_V[branch.to];
        const double peak_W = drop_V * drop_V / branch.resistance_ohm;
        if (peak_W < least_pulse_W) continue;
        const double steady_A = settled_A.empty() ? 0 : settled_A[i];
        const double steady_J = steady_A * steady_A * branch.resistance_ohm * lasts_s;
        const double energy_J = std::max(0.0, charging.heat_J(i, lasts_s) - steady_J);
        pulses.push_back({edge, id, energy_J, peak_W, lasts_s, discharging});
    }
    return true;
}

// Only where a resistor begins with more power than it ends with.
bool ModeFollower::add_pulses(const ModeEntry& entry, std::vector<ResistorPulse>& pulses) {
    if (capacitors_.empty()) return true;
    const Followed& now = *followed_[entry.mode.index()];
    bool any = false;
    for (std::size_t i = 0; i < now.settled_A.size(); ++i) {
        const EdgeId edge = now.scene.edge_of_branch[i];
        if (!edge || !is_resistor(circuit_, edge)) continue;
        const double first_A = std::abs(entry.moment.edge_A[edge.index()]);
        const double power_W = first_A * first_A * now.scene.network.branches[i].resistance_ohm;
        any = any || (power_W >= least_pulse_W && first_A > 1.05 * std::abs(now.settled_A[i]));
    }
    return !any || add_pulses(now.scene, course(entry.mode), entry.mode, false, now.settled_A, pulses);
}

// No voltage between two points is higher.
double ModeFollower::packs_V() const {
    double sum = 0;
    for (const Edge& edge : circuit_.edges) {
        if (edge.role == EdgeRole::emf)
            if (const auto section = pack_section(circuit_, facts_, edge, corner_)) sum += section->voltage_V;
        if (edge.role == EdgeRole::charger || edge.role == EdgeRole::converter_output)
            sum += facts_.quantity(edge.part, output_attribute(*circuit_.harness, edge.part))
                       .value_or(Quantity{})
                       .hi;
    }
    return sum;
}

bool ModeFollower::add_discharges(ModeId id, std::vector<Discharge>& discharges,
                                  std::vector<ResistorPulse>& pulses) {
    const double limit_V = facts_.policy("live-when-unmated-above"_attr).lo;
    if (capacitors_.empty() || packs_V() <= limit_V) return true;
    if (highest_V_.empty()) {
        highest_V_.assign(capacitors_.size(), 0);
        for (std::size_t i = 0; i < followed_.size(); ++i) {
            const std::vector<double>& volts = follow(ModeId(i)).settles_V;
            for (std::size_t k = 0; k < volts.size(); ++k) highest_V_[k] = std::max(highest_V_[k], volts[k]);
        }
    }
    if (std::none_of(highest_V_.begin(), highest_V_.end(), [&](double volts) { return volts > limit_V; }))
        return true;
    follow(id);
    // Loads may be switched off, asleep or broken: only what is a plain resistance is counted on.
    Scene drained = followed_[id.index()]->scene;
    for (std::size_t i = 0; i < drained.network.branches.size(); ++i) {
        Branch& branch = drained.network.branches[i];
        const EdgeId edge = drained.edge_of_branch[i];
        const bool load = edge && circuit_.edge(edge).role == EdgeRole::load;
        if (branch.type == Branch::Type::resistor && load) branch.resistance_ohm = 1e9;
        if (branch.type == Branch::Type::current_load) branch.current_A = 0;
        if (branch.type == Branch::Type::power_load || branch.type == Branch::Type::converter_input)
            branch.power_W = 0;
    }
    const std::vector<double> fed_V = across(solve(drained.network));
    const auto cut_off = [&](std::size_t k) { return highest_V_[k] > limit_V && fed_V[k] <= limit_V; };
    bool any = false;
    for (std::size_t k = 0; k < fed_V.size(); ++k) any = any || cut_off(k);
    if (!any) return true;
    const ChargeCourse course(drained.network, charged(highest_V_));
    if (!course.solved()) return false;
    const std::vector<double> after_1s = course.at(1), after_5s = course.at(5);
    for (std::size_t k = 0; k < fed_V.size(); ++k)
        if (cut_off(k))
            discharges.push_back({capacitors_[k].edge, id, capacitors_[k].capacitance_F, highest_V_[k],
                                  after_1s[k], after_5s[k], course.when(k, limit_V)});
    return add_pulses(drained, course, id, true, {}, pulses);
}

}  // namespace loomward
