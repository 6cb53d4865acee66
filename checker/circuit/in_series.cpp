#include "checker/circuit/in_series.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace loomward {
namespace {

// SplitMix64 (G. Steele, D. Lea, C. Flood, 2014): numbers without pattern, the same in every run.
std::uint64_t scattered(std::uint64_t index) {
    std::uint64_t value = (index + 1) * 0x9e3779b97f4a7c15ULL;
    value = (value ^ (value >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    value = (value ^ (value >> 27U)) * 0x94d049bb133111ebULL;
    return value ^ (value >> 31U);
}

struct Neighbour {
    std::uint32_t edge, other;
};

// One number for what feeds a converter and for what it feeds. Between two of its points it may have several
// edges, a capacitor among them: their exclusive or is what leads there.
void join_sides_of_converters(const Circuit& circuit, std::vector<std::uint64_t>& number) {
    using Side = std::tuple<PartId, NodeId, NodeId>;
    const auto side_of = [](const Edge& edge) {
        return Side(edge.part, std::min(edge.from, edge.to), std::max(edge.from, edge.to));
    };
    std::map<PartId, Side> inputs, outputs;
    for (const Edge& edge : circuit.edges) {
        if (edge.role == EdgeRole::converter_input) inputs[edge.part] = side_of(edge);
        if (edge.role == EdgeRole::converter_output) outputs[edge.part] = side_of(edge);
    }
    std::map<Side, std::uint64_t> leads_to;
    for (std::size_t i = 0; i < number.size(); ++i)
        if (const Edge& edge = circuit.edges[i]; inputs.contains(edge.part))
            leads_to[side_of(edge)] ^= number[i];
    std::map<std::uint64_t, std::uint64_t> taken_as;
    const auto taken = [&](std::uint64_t value) {
        for (auto next = taken_as.find(value); next != taken_as.end(); next = taken_as.find(value))
            value = next->second;
        return value;
    };
    for (const auto& [part, output] : outputs) {
        const auto input = inputs.find(part);
        if (input == inputs.end()) continue;
        const std::uint64_t in = taken(leads_to[input->second]), out = taken(leads_to[output]);
        if (in != 0 && out != 0 && in != out) taken_as[out] = in;
    }
    for (std::uint64_t& each : number) each = taken(each);
}

}  // namespace

std::vector<std::uint64_t> series_numbers(const Circuit& circuit) {
    std::vector<std::vector<Neighbour>> at(circuit.node_count());
    for (std::uint32_t i = 0; i < circuit.edges.size(); ++i) {
        const std::uint32_t a = circuit.edges[i].from.value, b = circuit.edges[i].to.value;
        if (a == b) continue;
        at[a].push_back({i, b});
        at[b].push_back({i, a});
    }
    std::vector<std::uint64_t> number(circuit.edges.size(), 0), sum(circuit.node_count(), 0);
    std::vector<bool> seen(circuit.node_count(), false), used(circuit.edges.size(), false);
    std::vector<Neighbour> by(circuit.node_count());
    std::vector<std::uint32_t> order;
    for (std::uint32_t root = 0; root < circuit.node_count(); ++root) {
        if (seen[root]) continue;
        const std::size_t first = order.size();
        order.push_back(root);
        seen[root] = true;
        for (std::size_t head = first; head < order.size(); ++head)
            for (const Neighbour& step : at[order[head]]) {
                if (used[step.edge]) continue;
                used[step.edge] = true;
                if (!seen[step.other]) {
                    seen[step.other] = true;
                    by[step.other] = {step.edge, order[head]};
                    order.push_back(step.other);
                    continue;
                }
                number[step.edge] = scattered(step.edge);
                sum[step.other] ^= number[step.edge];
                sum[order[head]] ^= number[step.edge];
            }
        for (std::size_t i = order.size(); i-- > first + 1;) {
            number[by[order[i]].edge] = sum[order[i]];
            sum[by[order[i]].other] ^= sum[order[i]];
        }
    }
    join_sides_of_converters(circuit, number);
    return number;
}

}  // namespace loomward
