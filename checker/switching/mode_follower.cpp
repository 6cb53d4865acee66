// Networks of modes, with their capacitors.
#include "checker/switching/mode_follower.hpp"

#include "checker/parts/elements.hpp"
#include "checker/parts/inrush.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double nothing_V = 1e-9;  // what rounding leaves

CornerValues values_for(const Circuit& circuit, const Facts& facts, Corner corner) {
    CornerValues values = values_at(circuit, facts, corner);
    // A precharge resistor at its largest, whatever the rest: it is what makes a precharge slow.
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (circuit.edges[i].role == EdgeRole::resistor)
            values.ohm_20[i] = resistance_ohm(circuit, facts, circuit.edges[i], Corner::run_hot, 20);
    return values;
}

}  // namespace

Mode quiet(const Circuit& circuit, const Mode& mode) {
    Mode still = mode;
    for (std::size_t i = 0; i < still.states.size(); ++i)
        if (const Kind kind = circuit.harness->parts[i].kind;
            // What an inverter that charges gives stands as a charger's does.
            kind == Kind::controller || (kind == Kind::inverter && !delivers(mode, PartId(i))))
            still.states[i].profile = -1;
    return still;
}

namespace {

// The mode with what was stated so, by its own lines or by those it takes over too, still open.
Mode undone(const Mode& mode, bool taken_over_too) {
    Mode before = mode;
    const auto undo = [&](State& state) {
        if (state.stated_by != StatedBy::line && !(taken_over_too && state.stated_by == StatedBy::inherited))
            return;
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

}  // namespace

Mode before_its_lines(const Mode& mode) {
    return undone(mode, false);
}
Mode before_anything(const Mode& mode) {
    return undone(mode, true);
}

ModeFollower::ModeFollower(const Circuit& circuit, const Facts& facts, Corner corner)
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
        surges_.push_back(inrush_of(facts, PartId(i)).has_value());
    parted_.resize(circuit.harness->parts.size());
    for (const Mode& mode : circuit.harness->modes)
        for (std::size_t i = 0; i < parted_.size(); ++i)
            parted_[i] = parted_[i] || mode.states[i].posture == Posture::unmated;
}

bool ModeFollower::nothing_to_follow() const {
    const std::vector<Part>& parts = circuit_.harness->parts;
    return capacitors_.empty() && !any_surges() &&
           std::none_of(parts.begin(), parts.end(), [&](const Part& part) {
               return circuit_.harness->find(part.attributes, "makes"_attr) != nullptr;
           });
}

Scene ModeFollower::scene_of(const Mode& of, ModeId id) const {
    const bool hot = takes_largest_resistance(corner_);
    std::vector<double> wire_degC(circuit_.harness->wires.size());
    for (std::size_t i = 0; i < wire_degC.size(); ++i) {
        const Quantity ambient = facts_.ambient(WireId(i), made(id) ? made(id)->told_as : id);
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
void ModeFollower::add_self_precharge(Scene& scene) const {
    for (const Stored& each : capacitors_) {
        const Edge& edge = circuit_.edge(each.edge);
        const Part& part = circuit_.harness->part(edge.part);
        const auto ohm = facts_.quantity(edge.part, "precharges"_attr, 1);
        if (!part.precharges || !ohm) continue;
        Branch branch;
        branch.type = Branch::Type::diode;
        branch.from = circuit_.node(part.precharges).value;
        branch.to = edge.from.value;
        branch.resistance_ohm = std::max(ohm->hi, 1e-7);
        if (branch.from == branch.to) continue;
        scene.network.branches.push_back(branch);
        scene.edge_of_branch.emplace_back();
    }
}

std::vector<Capacitance> ModeFollower::charged(const std::vector<double>& volts) const {
    std::vector<Capacitance> list;
    for (std::size_t k = 0; k < capacitors_.size(); ++k) {
        const Edge& edge = circuit_.edge(capacitors_[k].edge);
        list.push_back({edge.from.value, edge.to.value, capacitors_[k].capacitance_F, volts[k]});
    }
    return list;
}

// Voltages at the capacitors; nothing where there is no solution.
std::vector<double> ModeFollower::across(const NetworkSolution& solution) const {
    std::vector<double> volts(capacitors_.size(), 0);
    if (solution.status == SolveStatus::not_converged) return volts;
    for (std::size_t k = 0; k < volts.size(); ++k) {
        const Edge& edge = circuit_.edge(capacitors_[k].edge);
        volts[k] = solution.node_V[edge.from.index()] - solution.node_V[edge.to.index()];
        if (std::abs(volts[k]) < nothing_V) volts[k] = 0;
    }
    return volts;
}

}  // namespace loomward
