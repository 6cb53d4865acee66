#include "checker/circuit/pack_ways.hpp"

#include <limits>

#include "checker/circuit/ways.hpp"

namespace loomward {

bool PackWays::leads(EdgeId id, NodeId from) const {
    const Edge& edge = circuit_.edge(id);
    if (taken_out_[id.index()]) return false;
    if (edge.role == EdgeRole::diode) return edge.from == from;
    if (edge.role == EdgeRole::emf) return (flow_ == PackFlow::charging ? edge.to : edge.from) == from;
    return is_conductor(edge.role);
}

std::vector<bool> PackWays::reached(NodeId start, bool along) const {
    const NodeId starts[] = {start};
    return loomward::reached(circuit_, starts,
                             [&](EdgeId id, NodeId from) {
                                 return leads(id, along ? from : other_end(circuit_.edge(id), from));
                             })
        .seen;
}

std::vector<EdgeId> PackWays::way(NodeId from, NodeId to,
                                  const std::function<double(EdgeId)>& volts_V) const {
    return least_way(circuit_, from, to, [&](EdgeId id, NodeId at) {
        return leads(id, at) ? volts_V(id) : std::numeric_limits<double>::infinity();
    });
}

std::vector<bool> charged_from(const Circuit& circuit, const std::vector<bool>& taken_out,
                               const Edge& source) {
    const PackWays ways(circuit, taken_out, PackFlow::charging);
    const std::vector<bool> out = ways.reached(source.to, true), home = ways.reached(source.from, false);
    std::vector<bool> sections(circuit.edges.size(), false);
    for (std::size_t i = 0; i < sections.size(); ++i) {
        const Edge& edge = circuit.edges[i];
        sections[i] = edge.role == EdgeRole::emf && out[edge.to.index()] && home[edge.from.index()];
    }
    return sections;
}

}  // namespace loomward
