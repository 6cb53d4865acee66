#include "checker/faults/fault_network.hpp"

#include <algorithm>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/flow.hpp"
#include "checker/faults/standing_voltage.hpp"
#include "checker/parts/capacities.hpp"
#include "checker/parts/elements.hpp"
#include "checker/switching/transients.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
constexpr double source_ohm = 1e-3;  // inside a source that limits itself, a diode and a small capacitor
// Large capacitors are double layers, of which farad times ohm is a quarter of a second or more (memory).
constexpr double double_layer_F = 0.1;
constexpr double double_layer_s = 0.25;
// Less than this heats no more than a few centimetres of the thinnest wire to its limit.
constexpr double least_stored_J = 20;

FaultBranch limited(double volts, double amps) {
    FaultBranch branch;
    branch.conducts = volts > 0 && amps > 0;
    branch.resistance_ohm = source_ohm;
    branch.voltage_V = volts;
    branch.limit_A = amps;
    branch.one_way = true;
    return branch;
}

FaultBranch plain(double ohm) {
    FaultBranch branch;
    branch.conducts = true;
    branch.resistance_ohm = ohm;
    return branch;
}

// The voltage a source that limits itself holds, V.
double held_V(const Facts& facts, const Circuit& circuit, const Edge& edge) {
    if (edge.role != EdgeRole::output_pin)
        return facts.quantity(edge.part, "output"_attr).value_or(Quantity{}).hi;
    std::size_t pin = 0;
    for (const Attribute& attribute :
         circuit.harness->attributes_of(circuit.harness->part(edge.part).attributes)) {
        if (attribute.name != "pin"_attr || pin++ != edge.way) continue;
        return circuit.harness->values_of(attribute)[2].hi;
    }
    return 0;
}

double conductor_degC(const Facts& facts, const Edge& edge, Corner corner) {
    if (!edge.wire) return 20;
    return corner == Corner::fault_max ? facts.ambient(edge.wire).lo : conductor_limit_degC(facts, edge.wire);
}

FaultBranch branch_of(const Circuit& circuit, const Facts& facts, const Capacities& capacities,
                      const Edge& edge, Corner corner) {
    switch (edge.role) {
        case EdgeRole::emf: {
            const auto section = pack_section(circuit, facts, edge, corner);
            if (!section) return {};  // rule missing-data says so
            FaultBranch branch = plain(section->resistance_ohm);
            branch.voltage_V = section->voltage_V;
            return branch;
        }
        case EdgeRole::charger:
        case EdgeRole::converter_output:
        case EdgeRole::output_pin: {
            const double amps = capacities.source_A(edge);
            return amps < unbounded_A ? limited(held_V(facts, circuit, edge), amps) : FaultBranch{};
        }
        case EdgeRole::diode:
        case EdgeRole::converter_reverse: {
            if (edge.role == EdgeRole::converter_reverse && capacities.guard_A(edge, true) < 0) return {};
            FaultBranch branch = plain(source_ohm);
            branch.one_way = true;
            const auto drop =
                edge.role == EdgeRole::diode ? facts.quantity(edge.part, "drop"_attr) : std::nullopt;
            branch.voltage_V = -(drop ? drop->lo : 0.5);
            return branch;
        }
        case EdgeRole::resistor:
            return plain(resistance_ohm(circuit, facts, edge, corner, 20));
        default:
            if (!is_conductor(edge.role)) return {};
            return plain(resistance_ohm(circuit, facts, edge, corner, conductor_degC(facts, edge, corner)));
    }
}

}  // namespace

FaultNetwork::FaultNetwork(const Circuit& circuit, const Facts& facts, Corner corner,
                           const std::vector<bool>& open)
    : circuit_(circuit), corner_(corner), branches_(circuit.edges.size()) {
    const Capacities capacities(circuit, facts);
    for (std::size_t i = 0; i < circuit.edges.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        if (!open[i] && edge.from != edge.to)
            branches_[i] = branch_of(circuit, facts, capacities, edge, corner);
    }
    if (corner == Corner::fault_max) charge_capacitors(facts);
    find_ways();
}

void FaultNetwork::charge_capacitors(const Facts& facts) {
    std::optional<StandingVoltage> standing;
    for (std::size_t i = 0; i < branches_.size(); ++i) {
        const Edge& edge = circuit_.edges[i];
        if (edge.role != EdgeRole::capacitor) continue;
        const double farad = capacitance_F(facts, edge);
        if (farad <= 0) continue;
        if (!standing) standing.emplace(circuit_, branches_);
        const double volts = standing->across_V(edge.from, edge.to);
        if (volts <= 0 || farad * volts * volts / 2 < least_stored_J) continue;
        const bool double_layer = farad >= double_layer_F;
        branches_[i] = plain(double_layer ? double_layer_s / farad : source_ohm);
        if (double_layer)
            facts.assume("resistance of a capacitor above 0.1 F in a short circuit", "0.25 s / capacitance",
                         "double-layer capacitors (memory)", facts.harness().part(edge.part).name);
        branches_[i].voltage_V = -volts;  // the edge leads from its plus to its minus
        branches_[i].charge_As = farad * volts;
    }
}

void FaultNetwork::find_ways() {
    const auto root = static_cast<std::uint32_t>(circuit_.node_count());
    std::vector<FlowEdge> edges;
    std::vector<EdgeId> edge_of;
    DisjointSets together(circuit_.node_count());
    for (std::size_t i = 0; i < branches_.size(); ++i) {
        if (!branches_[i].conducts) continue;
        const Edge& edge = circuit_.edges[i];
        edges.push_back({edge.from.value, edge.to.value, 0});
        edge_of.emplace_back(i);
        together.join(edge.from.index(), edge.to.index());
    }
    // One root over all that hangs together, each by an edge of its own that no way uses.
    for (std::uint32_t node = 0; node < root; ++node)
        if (together.find(node) == node) edges.push_back({root, node, 0});
    const Blocks blocks = find_blocks(root, root + 1, edges);
    entry_of_block_ = blocks.entry_of_block;
    edges_of_block_.resize(entry_of_block_.size());
    depth_of_block_.assign(entry_of_block_.size(), 0);
    block_of_node_.assign(root + 1, none);
    for (std::uint32_t block = 0; block < entry_of_block_.size(); ++block) {
        const std::uint32_t entry = entry_of_block_[block];
        if (entry != root) depth_of_block_[block] = depth_of_block_[block_of_node_[entry]] + 1;
        for (const std::uint32_t id : blocks.edges_of_block[block]) {
            for (const std::uint32_t end : {edges[id].a, edges[id].b})
                if (end != entry) block_of_node_[end] = block;
            if (id < edge_of.size()) edges_of_block_[block].push_back(edge_of[id]);
        }
    }
}

bool FaultNetwork::edges_around(NodeId a, NodeId b, std::vector<EdgeId>& edges) const {
    edges.clear();
    const auto root = static_cast<std::uint32_t>(circuit_.node_count());
    const auto take = [&](std::uint32_t block) {
        edges.insert(edges.end(), edges_of_block_[block].begin(), edges_of_block_[block].end());
    };
    std::uint32_t u = a.value, v = b.value;
    while (u != v) {
        if (u == root || v == root) return false;
        const std::uint32_t block_u = block_of_node_[u], block_v = block_of_node_[v];
        if (block_u == block_v) {
            take(block_u);
            break;
        }
        std::uint32_t& deeper = depth_of_block_[block_u] >= depth_of_block_[block_v] ? u : v;
        const std::uint32_t block = block_of_node_[deeper];
        take(block);
        deeper = entry_of_block_[block];
    }
    if (u == root || v == root || edges.empty()) return false;
    std::sort(edges.begin(), edges.end());
    return true;
}

}  // namespace loomward
