// Ohm: a test source of one volt on the plain resistances. Volts and amperes: the network of a mode, its
// packs at the voltage that was measured, and the meter's own resistance between the probes.
#include "checker/bench/bench_machine.hpp"

#include <cmath>
#include <limits>

#include "checker/circuit/ways.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double usual_spread = 0.1;
constexpr double test_source_ohm = 1;
constexpr double not_there_ohm = 1e13;

bool is_single(const std::optional<Quantity>& value) {
    return !value || value->lo == value->hi;
}

// The end of its spread that a meter may show.
double spread_ohm(const Circuit& circuit, const Facts& facts, const Edge& edge, bool most,
                  double conductor_degC) {
    const Corner corner = most ? Corner::run_hot : Corner::fault_max;
    double ohm = resistance_ohm(circuit, facts, edge, corner, conductor_degC);
    // What the checker counts as nothing for the largest short, a meter does see where it is stated.
    const auto stated = [&](Attr name) {
        if (const auto value = facts.quantity(edge.part, name)) ohm = most ? value->hi : value->lo;
    };
    if (edge.role == EdgeRole::resistor && is_single(facts.quantity(edge.part, "(resistance)"_attr)))
        ohm *= most ? 1 + usual_spread : 1 - usual_spread;
    if (edge.role == EdgeRole::coil) ohm *= most ? 1 + usual_spread : 1 - usual_spread;
    if (!most && edge.role == EdgeRole::fuse) stated("resistance"_attr);
    return std::max(ohm, 1e-7);
}

// A load that is a plain resistance also when it is cold; its ohm.
std::optional<double> plain_load_ohm(const Facts& facts, const Edge& edge) {
    if (edge.role == EdgeRole::load)
        if (const auto ohms = facts.quantity(edge.part, "(resistance)"_attr)) return ohms->lo;
    if (edge.role == EdgeRole::capacitor)
        if (const auto bleed = facts.quantity(edge.part, "bleed"_attr)) return bleed->lo;
    return std::nullopt;
}

bool has_plain_ohm(EdgeRole role) {
    return is_conductor(role) || role == EdgeRole::resistor || role == EdgeRole::coil;
}

// What a meter's own volt gets through or is held up by in ways that nobody states.
bool is_electronics(EdgeRole role) {
    const bool plain = has_plain_ohm(role) || role == EdgeRole::emf || role == EdgeRole::capacitor ||
                       role == EdgeRole::regeneration;  // that is the controller once more
    return !plain;
}

bool has_electronics_inside(Kind kind) {
    switch (kind) {
        case Kind::controller:
        case Kind::converter:
        case Kind::inverter:
        case Kind::charger:
        case Kind::device:
        case Kind::bms:
        case Kind::protector:
            return true;
        default:
            return false;
    }
}

// From every terminal of such a part to one point inside it.
void add_inside_of_electronics(const Circuit& circuit, double ohm, Network& network) {
    const Harness& harness = *circuit.harness;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Part& part = harness.parts[i];
        if (!has_electronics_inside(part.kind)) continue;
        const std::uint32_t inside = network.node_count++;
        for (std::uint32_t k = 0; k < part.terminals.count; ++k) {
            Branch branch;
            branch.from = circuit.node(TerminalId(part.terminals.first + k)).value;
            branch.to = inside;
            branch.resistance_ohm = ohm;
            network.branches.push_back(branch);
        }
    }
}

}  // namespace

std::vector<double> bench_ohms(const Circuit& circuit, const Facts& facts, SpreadEnd end,
                               double conductor_degC) {
    std::vector<double> ohms;
    ohms.reserve(circuit.edges.size());
    for (const Edge& edge : circuit.edges)
        ohms.push_back(spread_ohm(circuit, facts, edge, end == SpreadEnd::most, conductor_degC));
    return ohms;
}

BenchMachine::BenchMachine(const Circuit& circuit, const Facts& facts, Corner corner,
                           std::vector<double> ohms)
    : circuit_(circuit), facts_(facts), values_(values_at(circuit, facts, corner)) {
    values_.ohm_20 = std::move(ohms);
    values_.ends_ohm.assign(values_.ohm_20.size(), 0);
}

double BenchMachine::resistance_ohm(const BenchState& state, NodeId red, NodeId black,
                                    double electronics_ohm) const {
    if (red == black) return 0;
    Network network;
    network.node_count = static_cast<std::uint32_t>(circuit_.node_count());
    const auto add = [&](const Edge& edge, double ohm) {
        Branch branch;
        branch.from = edge.from.value;
        branch.to = edge.to.value;
        branch.resistance_ohm = ohm;
        network.branches.push_back(branch);
    };
    if (electronics_ohm < infinite) add_inside_of_electronics(circuit_, electronics_ohm, network);
    for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.from == edge.to) continue;
        if (has_plain_ohm(edge.role)) {
            if (is_closed(circuit_, state.postures, edge)) add(edge, values_.ohm_20[i]);
        } else if (const auto ohm = plain_load_ohm(facts_, edge)) {
            add(edge, std::max(*ohm, 1e-7));
        } else if (is_electronics(edge.role) && electronics_ohm < infinite) {
            add(edge, electronics_ohm);
        } else if (edge.role == EdgeRole::emf && state.packs_on) {
            add(edge, 1e-3);
        }
    }
    Branch source;
    source.type = Branch::Type::emf;
    source.from = black.value;
    source.to = red.value;
    source.voltage_V = 1;
    source.resistance_ohm = test_source_ohm;
    network.branches.push_back(source);
    const NetworkSolution solution = solve(network);
    if (solution.status == SolveStatus::not_converged) return infinite;
    const double amps = solution.branch_A.back();
    const double volts = solution.node_V[red.index()] - solution.node_V[black.index()];
    return amps < 1e-10 ? infinite : volts / amps;
}

bool BenchMachine::climbs(const BenchState& state, NodeId red, NodeId black) const {
    DisjointSets nets = pieces(circuit_, [&](EdgeId id) {
        const Edge& edge = circuit_.edge(id);
        return (has_plain_ohm(edge.role) && is_closed(circuit_, state.postures, edge));
    });
    const auto at = [&](NodeId node) { return nets.find(node.index()); };
    for (const Edge& edge : circuit_.edges)
        if (edge.role == EdgeRole::capacitor && ((at(edge.from) == at(red) && at(edge.to) == at(black)) ||
                                                 (at(edge.to) == at(red) && at(edge.from) == at(black))))
            return at(red) != at(black);
    return false;
}

BenchMachine::Live BenchMachine::live(const BenchState& state, double share, NodeId red, NodeId black) const {
    NetworkBuilder builder(circuit_, facts_, values_, state.postures, 1e-9);
    builder.build(std::vector<double>(circuit_.harness->wires.size(), 20.0));
    Network network = builder.network();
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        Branch& branch = network.branches[i];
        const Edge& edge = circuit_.edge(builder.edge_of(static_cast<std::uint32_t>(i)));
        if (edge.role == EdgeRole::emf) {
            const auto whole = pack_voltage(facts_, edge.part);
            const bool full = values_.corner == Corner::run_full;
            if (whole && (full ? whole->hi : whole->lo) > 0)
                branch.voltage_V *=
                    (whole->lo + share * (whole->hi - whole->lo)) / (full ? whole->hi : whole->lo);
        }
        if (branch.type == Branch::Type::limited_source) branch.voltage_V *= output_factor_;
        if ((edge.role == EdgeRole::emf && !state.packs_on) ||
            (edge.role == EdgeRole::charger && !state.chargers_on)) {
            branch.type = Branch::Type::resistor;
            branch.resistance_ohm = not_there_ohm;
        }
    }
    if (red && black && red != black) {
        Branch meter;
        meter.from = red.value;
        meter.to = black.value;
        meter.resistance_ohm = meter_input_ohm;
        network.branches.push_back(meter);
    }
    const NetworkSolution solution = solve(network);
    Live found;
    found.edge_A.assign(circuit_.edges.size(), 0);
    found.solved = solution.status != SolveStatus::not_converged;
    if (!found.solved) return found;
    found.node_V = solution.node_V;
    for (std::size_t i = 0; i < builder.network().branches.size(); ++i)
        found.edge_A[builder.edge_of(static_cast<std::uint32_t>(i)).index()] = solution.branch_A[i];
    return found;
}

double BenchMachine::volts(const BenchState& state, double share, NodeId red, NodeId black) const {
    if (red == black) return 0;
    const Live found = live(state, share, red, black);
    return found.solved ? found.node_V[red.index()] - found.node_V[black.index()] : 0;
}

std::optional<double> charge_share(const Facts& facts, PartId pack, double rest_V) {
    const auto range = pack_voltage(facts, pack);
    if (!range || !(range->hi > range->lo)) return std::nullopt;
    return (rest_V - range->lo) / (range->hi - range->lo);
}

}  // namespace loomward
