#include "checker/parts/capacitor_banks.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

double capacitance_F(const Facts& facts, const Edge& edge) {
    const bool part = facts.harness().part(edge.part).kind == Kind::capacitor;
    const auto stated = facts.quantity(edge.part, part ? "(capacitance)"_attr : "capacitance"_attr);
    return stated ? stated->hi : 0;
}

namespace {
// More between two capacitors keeps them apart for the first moment of a short; no source.
constexpr double apart_ohm = 5e-3;
constexpr double mild_degC = 20;
}  // namespace

CapacitorBanks::CapacitorBanks(const Circuit& circuit, const Facts& facts, const std::vector<bool>& open)
    : farad_(circuit.edges.size(), 0), first_(circuit.edges.size(), false), size_(circuit.edges.size(), 0) {
    std::vector<EdgeId> capacitors;
    for (std::size_t i = 0; i < circuit.edges.size(); ++i)
        if (circuit.edges[i].role == EdgeRole::capacitor) capacitors.emplace_back(i);
    if (capacitors.empty()) return;
    DisjointSets joined = pieces(circuit, [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return is_conductor(edge.role) && !opens_on_current(edge.role) &&
               (open.empty() || !open[id.index()]) &&
               resistance_ohm(circuit, facts, edge, Corner::fault_max, mild_degC) <= apart_ohm;
    });
    std::map<std::pair<std::size_t, std::size_t>, std::vector<EdgeId>> banks;
    for (const EdgeId id : capacitors) {
        const Edge& edge = circuit.edge(id);
        banks[{joined.find(edge.from.index()), joined.find(edge.to.index())}].push_back(id);
    }
    const auto name = [&](EdgeId id) { return circuit.harness->part(circuit.edge(id).part).name; };
    for (const auto& [poles, bank] : banks) {
        double all_F = 0;
        for (const EdgeId id : bank) all_F += capacitance_F(facts, circuit.edge(id));
        for (const EdgeId id : bank) {
            farad_[id.index()] = all_F;
            size_[id.index()] = static_cast<std::uint32_t>(bank.size());
        }
        first_[std::min_element(bank.begin(), bank.end(), [&](EdgeId a, EdgeId b) {
                   return name(a) < name(b);
               })->index()] = true;
    }
}

}  // namespace loomward
