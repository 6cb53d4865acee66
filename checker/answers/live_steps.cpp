#include "checker/answers/live_steps.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/no_end.hpp"
#include "checker/switching/mode_follower.hpp"

namespace loomward {

namespace {

constexpr std::size_t nowhere = std::numeric_limits<std::size_t>::max();

// Nodes that hang together with the plus of a source.
void mark_live(const Circuit& circuit, const Mode& mode, std::size_t step, std::vector<std::size_t>& live) {
    DisjointSets pieces(circuit.node_count());
    for (const Edge& edge : circuit.edges)
        if (conducts(edge.role) && edge.role != EdgeRole::converter_reverse && is_closed(circuit, mode, edge))
            pieces.join(edge.from.index(), edge.to.index());
    std::vector<bool> fed(circuit.node_count(), false);
    const auto feed = [&](NodeId node) {
        const std::size_t piece = pieces.find(node.index());
        const bool fresh = !fed[piece];
        fed[piece] = true;
        return fresh;
    };
    for (const Edge& edge : circuit.edges)
        if (edge.role == EdgeRole::emf || edge.role == EdgeRole::panel) feed(edge.to);
    // A converter whose input is fed gives an output, be it the input of another.
    for (bool more = true; more;) {
        more = false;
        for (const Edge& output : circuit.edges) {
            if (output.role != EdgeRole::converter_output || fed[pieces.find(output.to.index())]) continue;
            for (const EdgeId id : circuit.edges_of_part[output.part.index()]) {
                const Edge& input = circuit.edge(id);
                if (input.role == EdgeRole::converter_input && fed[pieces.find(input.from.index())])
                    more = feed(output.to) || more;
            }
        }
    }
    for (std::size_t node = 0; node < live.size(); ++node)
        if (live[node] == nowhere && fed[pieces.find(node)]) live[node] = step;
}

}  // namespace

LiveSteps::LiveSteps(const Results& results)
    : results_(results),
      live_(results.circuit.node_count(), nowhere),
      carries_(results.circuit.edges.size(), nowhere),
      changes_(results.circuit.edges.size(), nowhere) {
    const Circuit& circuit = results.circuit;
    if (circuit.edges.empty()) return;
    const std::vector<Mode>& modes = circuit.harness->modes;
    if (modes.empty()) return;
    const Mode rest = before_anything(modes.front());
    mark_live(circuit, rest, 0, live_);
    for (std::size_t m = 0; m < modes.size(); ++m) {
        mark_live(circuit, modes[m], m + 1, live_);
        for (std::size_t i = 0; i < circuit.edges.size(); ++i)
            if (changes_[i] == nowhere &&
                is_closed(circuit, modes[m], circuit.edges[i]) != is_closed(circuit, rest, circuit.edges[i]))
                changes_[i] = m + 1;
    }
    for (const OperatingPoint& point : results.points) {
        if (!point.usable()) continue;
        for (std::size_t i = 0; i < carries_.size(); ++i)
            if (std::abs(point.edge_A[i]) > idle_A)
                carries_[i] = std::min(carries_[i], point.mode.index() + 1);
    }
}

std::size_t LiveSteps::first_of(const std::vector<EdgeId>& edges) const {
    std::size_t first = nowhere;
    for (const EdgeId id : edges) {
        const Edge& edge = results_.circuit.edge(id);
        first = std::min({first, live_[edge.from.index()], live_[edge.to.index()], carries_[id.index()]});
    }
    return first == nowhere ? 0 : first;
}

std::size_t LiveSteps::of_part(PartId part) const {
    if (changes_.empty()) return 0;
    return first_of(results_.circuit.edges_of_part[part.index()]);
}

std::size_t LiveSteps::of_wire(WireId wire) const {
    if (changes_.empty()) return 0;
    return first_of({results_.circuit.edge_of_wire[wire.index()]});
}

std::size_t LiveSteps::of_contact(PartId part) const {
    if (changes_.empty()) return 0;
    std::size_t first = nowhere;
    for (const EdgeId id : results_.circuit.edges_of_part[part.index()])
        first = std::min(first, changes_[id.index()]);
    return first == nowhere ? of_part(part) : first;
}

}  // namespace loomward
