#include "checker/transients.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>

#include "checker/charging.hpp"
#include "checker/mode_network.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double nothing_V = 1e-9;  // what rounding leaves
constexpr double least_pulse_W = 0.5;
constexpr double never = std::numeric_limits<double>::infinity();

// A mode with every controller at rest.
Mode quiet(const Circuit& circuit, const Mode& mode) {
    Mode still = mode;
    for (std::size_t i = 0; i < still.states.size(); ++i)
        if (circuit.harness->parts[i].kind == Kind::controller) still.states[i].profile = -1;
    return still;
}

// What a mode without `after` is entered from: the same with what its own lines close still open.
Mode before_its_lines(const Mode& mode) {
    Mode before = mode;
    const auto undo = [](State& state) {
        if (state.stated_by != StatedBy::line) return;
        switch (state.posture) {
            case Posture::closed:
                state.posture = Posture::open;
                break;
            case Posture::energised:
                state.posture = Posture::released;
                break;
            case Posture::mated:
                state.posture = Posture::unmated;
                break;
            case Posture::at_position:
                state.position = 0;
                break;
            case Posture::on:
                state.posture = Posture::off;
                break;
            default:
                break;
        }
    };
    for (State& state : before.states) undo(state);
    for (State& state : before.pin_states) undo(state);
    return before;
}

// What can weld or spark when it closes.
bool is_contact(EdgeRole role) {
    return role == EdgeRole::switching || role == EdgeRole::contact;
}

CornerValues values_for(const Circuit& circuit, const Facts& facts, Corner corner) {
    CornerValues values = values_at(circuit, facts, corner);
    // A precharge resistor at its largest, whatever the rest: it is what makes a precharge slow.
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (circuit.edges[i].role == EdgeRole::resistor)
            values.ohm_20[i] = resistance_ohm(circuit, facts, circuit.edges[i], Corner::run_hot, 20);
    return values;
}

// One mode at one corner as a network with capacitors.
struct Scene {
    Network network;
    std::vector<EdgeId> edge_of_branch;  // invalid: the way a controller precharges itself
};

class Follower {
  public:
    Follower(const Circuit& circuit, const Facts& facts, Corner corner)
        : circuit_(circuit),
          facts_(facts),
          corner_(corner),
          values_(values_for(circuit, facts, corner)),
          followed_(circuit.harness->modes.size()) {
        for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
            const Edge& edge = circuit.edges[i];
            if (edge.role != EdgeRole::capacitor || edge.from == edge.to) continue;
            const double farad = capacitance_F(facts, edge);
            if (farad > 0) capacitors_.push_back({EdgeId(i), farad});
        }
        for (std::size_t i = 0; i < circuit.harness->parts.size(); ++i)
            surges_.push_back(facts.quantity(PartId(i), "inrush"_attr).has_value());
    }

    bool any_surges() const { return std::find(surges_.begin(), surges_.end(), true) != surges_.end(); }
    bool nothing_to_follow() const {
        const std::vector<Part>& parts = circuit_.harness->parts;
        return capacitors_.empty() && !any_surges() &&
               std::none_of(parts.begin(), parts.end(), [&](const Part& part) {
                   return circuit_.harness->find(part.attributes, "makes"_attr) != nullptr;
               });
    }

    // Nothing where no contact closes, or where it is lost on the way.
    std::optional<ModeEntry> enter(ModeId id, bool& lost);
    void add_pulses(const ModeEntry& entry, std::vector<ResistorPulse>& pulses);
    void add_discharges(ModeId id, std::vector<Discharge>& discharges, std::vector<ResistorPulse>& pulses);

  private:
    struct Stored {
        EdgeId edge;
        double capacitance_F;
    };
    struct Followed {
        Scene scene;
        std::vector<double> before_V;   // by capacitor
        std::vector<double> settles_V;  // by capacitor
        std::vector<double> settled_A;  // by branch; empty where not solved
        std::optional<ChargeCourse> course;
        bool lost = false;  // where it comes from could not be followed
    };

    const Mode& mode(ModeId id) const { return circuit_.harness->modes[id.index()]; }
    Scene scene_of(const Mode& mode, ModeId id) const;
    void add_self_precharge(Scene& scene) const;
    std::vector<Capacitance> charged(const std::vector<double>& volts) const;
    std::vector<double> across(const NetworkSolution& solution) const;
    Followed& follow(ModeId id);
    void enter_from(const Mode& here, Followed& next);
    ChargeCourse& course(ModeId id);
    double packs_V() const;
    std::vector<std::size_t> counted_at_once(const Followed& now) const;
    Mode earlier_than(const Mode& here) const;
    void find_closing(const Mode& here, ModeEntry& entry) const;
    void solve_moment(ModeId id, const Followed& now, ModeEntry& entry);
    void take_load_currents(const Followed& now, const std::vector<double>& branch_A, ModeEntry& entry) const;
    void surge(const Followed& now, const NetworkSolution& before, ModeEntry& entry) const;
    void add_pulses(const Scene& scene, const ChargeCourse& course, ModeId id, bool discharging,
                    std::vector<ResistorPulse>& pulses) const;

    const Circuit& circuit_;
    const Facts& facts_;
    Corner corner_;
    CornerValues values_;
    std::vector<Stored> capacitors_;
    std::vector<bool> surges_;                       // by PartId: has an inrush
    std::vector<std::optional<Followed>> followed_;  // by ModeId
    std::vector<double> highest_V_;                  // by capacitor, over all modes
};

Scene Follower::scene_of(const Mode& of, ModeId id) const {
    const bool hot = takes_largest_resistance(corner_);
    std::vector<double> wire_degC(circuit_.harness->wires.size());
    for (std::size_t i = 0; i < wire_degC.size(); ++i) {
        const Quantity ambient = facts_.ambient(WireId(i), id);
        wire_degC[i] = hot ? ambient.hi : ambient.lo;
    }
    NetworkBuilder builder(circuit_, facts_, values_, of, 1e-9);
    builder.build(wire_degC);
    Scene scene{builder.network(), {}};
    for (std::uint32_t i = 0; i < scene.network.branches.size(); ++i)
        scene.edge_of_branch.push_back(builder.edge_of(i));
    add_self_precharge(scene);
    return scene;
}

// From the pin that a controller precharges itself through to its plus: one way, no drop counted.
void Follower::add_self_precharge(Scene& scene) const {
    for (const Stored& each : capacitors_) {
        const Edge& edge = circuit_.edge(each.edge);
        const Part& part = circuit_.harness->part(edge.part);
        const Value pin = circuit_.harness->value(part.attributes, "precharges"_attr);
        const auto ohm = facts_.quantity(edge.part, "precharges"_attr, 1);
        if (!pin.present() || !ohm) continue;
        const TerminalId terminal = circuit_.harness->terminal_of(edge.part, pin.text);
        if (!terminal) continue;
        Branch branch;
        branch.type = Branch::Type::diode;
        branch.from = circuit_.node(terminal).value;
        branch.to = edge.from.value;
        branch.resistance_ohm = std::max(ohm->hi, 1e-7);
        if (branch.from == branch.to) continue;
        scene.network.branches.push_back(branch);
        scene.edge_of_branch.emplace_back();
    }
}

std::vector<Capacitance> Follower::charged(const std::vector<double>& volts) const {
    std::vector<Capacitance> list;
    for (std::size_t k = 0; k < capacitors_.size(); ++k) {
        const Edge& edge = circuit_.edge(capacitors_[k].edge);
        list.push_back({edge.from.value, edge.to.value, capacitors_[k].capacitance_F, volts[k]});
    }
    return list;
}

// Voltages at the capacitors; nothing where there is no solution.
std::vector<double> Follower::across(const NetworkSolution& solution) const {
    std::vector<double> volts(capacitors_.size(), 0);
    if (solution.status == SolveStatus::not_converged) return volts;
    for (std::size_t k = 0; k < volts.size(); ++k) {
        const Edge& edge = circuit_.edge(capacitors_[k].edge);
        volts[k] = solution.node_V[edge.from.index()] - solution.node_V[edge.to.index()];
        if (std::abs(volts[k]) < nothing_V) volts[k] = 0;
    }
    return volts;
}

// Earliest mode of the chain first, so that no chain is followed by recursion.
Follower::Followed& Follower::follow(ModeId id) {
    std::vector<ModeId> chain;
    for (ModeId at = id; at && !followed_[at.index()]; at = mode(at).after) {
        if (std::find(chain.begin(), chain.end(), at) != chain.end()) break;  // after itself: begin here
        chain.push_back(at);
    }
    for (; !chain.empty(); chain.pop_back()) {
        const ModeId at = chain.back();
        const Mode& here = mode(at);
        Followed next;
        next.scene = scene_of(quiet(circuit_, here), at);
        NetworkSolution settled = solve(next.scene.network);
        next.settles_V = across(settled);
        next.settled_A = std::move(settled.branch_A);
        const bool stated = here.after && followed_[here.after.index()];
        if (!stated)
            next.before_V = across(solve(scene_of(quiet(circuit_, before_its_lines(here)), at).network));
        else if (!capacitors_.empty())
            enter_from(here, next);
        followed_[at.index()] = std::move(next);
    }
    return *followed_[id.index()];
}

void Follower::enter_from(const Mode& here, Followed& next) {
    const ChargeCourse& earlier = course(here.after);
    next.lost = followed_[here.after.index()]->lost || !earlier.solved();
    next.before_V = next.lost ? next.settles_V : earlier.at(here.after_s);
}

ChargeCourse& Follower::course(ModeId id) {
    Followed& now = *followed_[id.index()];
    if (!now.course) now.course.emplace(now.scene.network, charged(now.before_V));
    return *now.course;
}

std::optional<ModeEntry> Follower::enter(ModeId id, bool& lost) {
    const Mode& here = mode(id);
    ModeEntry entry;
    find_closing(here, entry);
    if (entry.closing.empty()) return std::nullopt;
    const Followed& now = follow(id);
    if (now.lost) {
        lost = true;
        return std::nullopt;
    }
    entry.mode = id;
    entry.corner = corner_;
    entry.from = here.after;
    entry.from_s = here.after_s;
    solve_moment(id, now, entry);
    lost = entry.moment.node_V.empty();
    if (lost) return std::nullopt;
    const double share = facts_.policy("precharge-to"_attr).lo / 100;
    for (std::size_t k = 0; k < capacitors_.size(); ++k) {
        CapacitorState state{capacitors_[k].edge,
                             capacitors_[k].capacitance_F,
                             now.before_V[k],
                             now.settles_V[k],
                             now.before_V[k],
                             0,
                             never};
        if (here.after && followed_[here.after.index()]) {
            const ChargeCourse& earlier = course(here.after);
            if (earlier.solved()) {
                const double wanted_V = share * now.settles_V[k];
                state.reaches_V = earlier.at(1e9)[k];
                state.resistance_ohm = earlier.resistance_ohm(k);
                const double began_V = followed_[here.after.index()]->before_V[k];
                state.needed_s = began_V >= wanted_V ? 0 : earlier.when(k, wanted_V);
            }
        }
        entry.capacitors.push_back(state);
    }
    return entry;
}

Mode Follower::earlier_than(const Mode& here) const {
    return here.after ? mode(here.after) : before_its_lines(here);
}

void Follower::find_closing(const Mode& here, ModeEntry& entry) const {
    const Mode earlier = earlier_than(here);
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (is_contact(edge.role) && is_closed(circuit_, here, edge) && !is_closed(circuit_, earlier, edge))
            entry.closing.push_back({EdgeId(i), 0, 0, 0});
    }
}

// Small capacitors that are full empty themselves into large ones before a contact feels it: they give no
// current that counts. Everything else does.
std::vector<std::size_t> Follower::counted_at_once(const Followed& now) const {
    const auto lacks = [&](std::size_t k) {
        return std::abs(now.settles_V[k] - now.before_V[k]) > 0.02 * std::abs(now.settles_V[k]);
    };
    double largest_F = 0;
    for (std::size_t k = 0; k < capacitors_.size(); ++k)
        if (lacks(k)) largest_F = std::max(largest_F, capacitors_[k].capacitance_F);
    std::vector<std::size_t> counted;
    for (std::size_t k = 0; k < capacitors_.size(); ++k)
        if (lacks(k) || capacitors_[k].capacitance_F >= 0.5 * largest_F) counted.push_back(k);
    return counted;
}

void Follower::solve_moment(ModeId id, const Followed& now, ModeEntry& entry) {
    OperatingPoint& moment = entry.moment;
    moment.mode = id;
    moment.corner = corner_;
    const std::vector<std::size_t> counted = counted_at_once(now);
    const std::vector<Capacitance> all = charged(now.before_V);
    std::vector<Capacitance> held;
    for (const std::size_t k : counted) held.push_back(all[k]);
    const NetworkSolution first = solve(with_held_capacitors(now.scene.network, held));
    if (first.status == SolveStatus::not_converged) return;
    moment.status = SolveStatus::solved;
    moment.worst_residual_A = first.worst_residual_A;
    moment.node_V = first.node_V;
    moment.edge_A.assign(circuit_.edges.size(), 0);
    const std::size_t branches = now.scene.network.branches.size();
    for (std::size_t i = 0; i < branches; ++i)
        if (const EdgeId edge = now.scene.edge_of_branch[i]) moment.edge_A[edge.index()] += first.branch_A[i];
    for (std::size_t i = 0; i < counted.size(); ++i)
        moment.edge_A[capacitors_[counted[i]].edge.index()] -= first.branch_A[branches + i];
    const Scene open = scene_of(quiet(circuit_, earlier_than(mode(id))), id);
    const NetworkSolution before = solve(with_held_capacitors(open.network, all));
    for (ClosingContact& contact : entry.closing) {
        const Edge& edge = circuit_.edge(contact.edge);
        contact.current_A = moment.edge_A[contact.edge.index()];
        if (!before.node_V.empty())
            contact.before_V = before.node_V[edge.from.index()] - before.node_V[edge.to.index()];
    }
    take_load_currents(now, now.settled_A, entry);
    if (any_surges() && !before.node_V.empty()) surge(now, before, entry);
}

// The loads alone, those that were dead before drawing what they draw when switched on.
void Follower::surge(const Followed& now, const NetworkSolution& before, ModeEntry& entry) const {
    Network network = now.scene.network;
    bool any = false;
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const EdgeId id = now.scene.edge_of_branch[i];
        // What draws a power keeps its current meanwhile: a converter limits what its loads surge.
        if (network.branches[i].type == Branch::Type::power_load ||
            network.branches[i].type == Branch::Type::converter_input) {
            network.branches[i].type = Branch::Type::current_load;
            network.branches[i].current_A = now.settled_A.empty() ? 0 : std::max(0.0, now.settled_A[i]);
        }
        if (!id || circuit_.edge(id).role != EdgeRole::load || !surges_[circuit_.edge(id).part.index()])
            continue;
        const Edge& edge = circuit_.edge(id);
        const double before_V = before.node_V[edge.from.index()] - before.node_V[edge.to.index()];
        const double now_V = entry.moment.node_V[edge.from.index()] - entry.moment.node_V[edge.to.index()];
        if (now_V <= 0 || before_V > 0.5 * now_V) continue;
        Branch& branch = network.branches[i];
        branch.type = Branch::Type::current_load;
        branch.current_A = facts_.quantity(edge.part, "inrush"_attr)->hi;
        branch.knee_V = std::max(0.25 * now_V, 1e-3);
        any = true;
    }
    if (!any) return;
    take_load_currents(now, solve(network).branch_A, entry);
}

void Follower::take_load_currents(const Followed& now, const std::vector<double>& branch_A,
                                  ModeEntry& entry) const {
    if (branch_A.empty()) return;
    OperatingPoint& loads = entry.loads;
    loads.mode = entry.mode;
    loads.corner = corner_;
    loads.edge_A.assign(circuit_.edges.size(), 0);
    for (std::size_t i = 0; i < branch_A.size(); ++i)
        if (const EdgeId edge = now.scene.edge_of_branch[i]) loads.edge_A[edge.index()] = branch_A[i];
    for (ClosingContact& contact : entry.closing) contact.load_A = loads.edge_A[contact.edge.index()];
}

void Follower::add_pulses(const Scene& scene, const ChargeCourse& charging, ModeId id, bool discharging,
                          std::vector<ResistorPulse>& pulses) const {
    if (!charging.solved()) return;
    double lasts_s = 0;
    const std::vector<double> from = charging.at(0), to = charging.at(1e9);
    for (std::size_t k = 0; k < from.size(); ++k) {
        if (std::abs(to[k] - from[k]) < 0.01 * std::max(std::abs(to[k]), std::abs(from[k]))) continue;
        const double time_s = charging.when(k, from[k] + 0.99 * (to[k] - from[k]));
        if (std::isfinite(time_s)) lasts_s = std::max(lasts_s, time_s);
    }
    if (lasts_s <= 0) return;
    const NetworkSolution& moment = charging.moment();
    for (std::uint32_t i = 0; i < scene.network.branches.size(); ++i) {
        const EdgeId edge = scene.edge_of_branch[i];
        if (!edge || circuit_.edge(edge).role != EdgeRole::resistor) continue;
        const Branch& branch = scene.network.branches[i];
        const double drop_V = moment.node_V[branch.from] - moment.node_V[branch.to];
        const double peak_W = drop_V * drop_V / branch.resistance_ohm;
        if (peak_W < least_pulse_W) continue;
        pulses.push_back({edge, id, charging.heat_J(i, lasts_s), peak_W, lasts_s, discharging});
    }
}

// Only where a resistor begins with more power than it ends with.
void Follower::add_pulses(const ModeEntry& entry, std::vector<ResistorPulse>& pulses) {
    if (capacitors_.empty()) return;
    const Followed& now = *followed_[entry.mode.index()];
    bool any = false;
    for (std::size_t i = 0; i < now.settled_A.size(); ++i) {
        const EdgeId edge = now.scene.edge_of_branch[i];
        if (!edge || circuit_.edge(edge).role != EdgeRole::resistor) continue;
        const double first_A = std::abs(entry.moment.edge_A[edge.index()]);
        const double power_W = first_A * first_A * now.scene.network.branches[i].resistance_ohm;
        any = any || (power_W >= least_pulse_W && first_A > 1.05 * std::abs(now.settled_A[i]));
    }
    if (any) add_pulses(now.scene, course(entry.mode), entry.mode, false, pulses);
}

// No voltage between two points is higher.
double Follower::packs_V() const {
    double sum = 0;
    for (const Edge& edge : circuit_.edges) {
        if (edge.role == EdgeRole::emf)
            if (const auto section = pack_section(circuit_, facts_, edge, corner_)) sum += section->voltage_V;
        if (edge.role == EdgeRole::charger || edge.role == EdgeRole::converter_output)
            sum += facts_.quantity(edge.part, "output"_attr).value_or(Quantity{}).hi;
    }
    return sum;
}

void Follower::add_discharges(ModeId id, std::vector<Discharge>& discharges,
                              std::vector<ResistorPulse>& pulses) {
    const double limit_V = facts_.policy("live-when-unmated-above"_attr).lo;
    if (capacitors_.empty() || packs_V() <= limit_V) return;
    if (highest_V_.empty()) {
        highest_V_.assign(capacitors_.size(), 0);
        for (std::size_t i = 0; i < followed_.size(); ++i) {
            const std::vector<double>& volts = follow(ModeId(i)).settles_V;
            for (std::size_t k = 0; k < volts.size(); ++k) highest_V_[k] = std::max(highest_V_[k], volts[k]);
        }
    }
    if (std::none_of(highest_V_.begin(), highest_V_.end(), [&](double volts) { return volts > limit_V; }))
        return;
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
    if (!any) return;
    const ChargeCourse course(drained.network, charged(highest_V_));
    if (!course.solved()) return;
    const std::vector<double> after_1s = course.at(1), after_5s = course.at(5);
    for (std::size_t k = 0; k < fed_V.size(); ++k)
        if (cut_off(k))
            discharges.push_back({capacitors_[k].edge, id, capacitors_[k].capacitance_F, highest_V_[k],
                                  after_1s[k], after_5s[k], course.when(k, limit_V)});
    add_pulses(drained, course, id, true, pulses);
}

}  // namespace

double capacitance_F(const Facts& facts, const Edge& edge) {
    const bool part = facts.harness().part(edge.part).kind == Kind::capacitor;
    const auto stated = facts.quantity(edge.part, part ? "(capacitance)"_attr : "capacitance"_attr);
    return stated ? stated->hi : 0;
}

Transients follow_transients(const Circuit& circuit, const Facts& facts, std::string_view only_mode) {
    Transients all;
    std::vector<Follower> followers;
    followers.reserve(2);
    for (const Corner corner : {Corner::run_hot, Corner::run_full})
        followers.emplace_back(circuit, facts, corner);
    if (followers.front().nothing_to_follow()) return all;
    for (std::size_t i = 0; i < circuit.harness->modes.size(); ++i) {
        if (!only_mode.empty() && circuit.harness->modes[i].name != only_mode) continue;
        for (Follower& follower : followers) {
            const bool full = &follower == &followers.back();
            bool lost = false;
            std::optional<ModeEntry> entry = follower.enter(ModeId(i), lost);
            if (lost && full) all.not_followed.emplace_back(i);
            if (entry) {
                if (full) follower.add_pulses(*entry, all.pulses);
                all.entries.push_back(std::move(*entry));
            }
            if (full) follower.add_discharges(ModeId(i), all.discharges, all.pulses);
        }
    }
    return all;
}

}  // namespace loomward
