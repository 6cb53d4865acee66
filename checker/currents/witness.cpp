#include "checker/currents/witness.hpp"

#include <algorithm>
#include <cmath>
#include <unordered_set>

#include "checker/circuit/ways.hpp"

namespace loomward {
namespace {

// Where a walk along the current ends: at a source, or a capacitor that gives.
bool ends_at(const Edge& edge, double current_A) {
    return is_source(edge.role) || (edge.role == EdgeRole::capacitor && current_A < 0);
}

constexpr std::size_t longest_path = 4096;

NodeId end_of(const Circuit& circuit, NodeId start, const std::vector<EdgeId>& edges) {
    for (const EdgeId id : edges) start = other_end(circuit.edge(id), start);
    return start;
}

}  // namespace

// The edge that takes the largest current away from the node (into it, with sign -1); invalid: none flows.
EdgeId CurrentTracer::strongest(NodeId node, int sign) {
    const auto [known, fresh] = (sign > 0 ? strongest_out_ : strongest_in_).try_emplace(node.value);
    if (!fresh) return known->second;
    double strongest_A = 1e-9;
    for (const Incidence& next : circuit_.at(node)) {
        const Edge& edge = circuit_.edge(next.edge);
        const double out_A = (edge.from == node ? 1 : -1) * sign * point_.edge_A[next.edge.index()];
        if (out_A <= strongest_A || edge.from == edge.to) continue;
        strongest_A = out_A;
        known->second = next.edge;
    }
    return known->second;
}

// Follows the strongest current away from `node` (downstream, or upstream with sign -1) until a source is
// met, which it returns, or `pole`.
EdgeId CurrentTracer::follow(NodeId node, int sign, NodeId pole, std::vector<EdgeId>& edges) {
    std::unordered_set<std::uint32_t> passed;
    while (edges.size() <= longest_path && node != pole) {
        const EdgeId next = strongest(node, sign);
        if (!next || !passed.insert(next.value).second) return {};
        const Edge& edge = circuit_.edge(next);
        if (ends_at(edge, point_.edge_A[next.index()])) return next;
        edges.push_back(next);
        node = edge.from == node ? edge.to : edge.from;
    }
    return {};
}

// At a bar that others share the strongest current goes on to their source. What the output of a converter
// gives comes back to its own minus: along the current, or, where a load ends and its converter draws more
// than it gives, against the rest of what passes there. Nothing where no such way is.
std::vector<EdgeId> CurrentTracer::way_home(NodeId node, NodeId pole, bool against) const {
    return shortest_way(circuit_, node, pole, [&](EdgeId id, NodeId here) {
        const Edge& edge = circuit_.edge(id);
        const double out_A = (edge.from == here ? 1 : -1) * point_.edge_A[id.index()];
        return conducts(edge.role) && (against ? std::abs(out_A) : out_A) > 1e-9;
    });
}

CurrentPath CurrentTracer::through(EdgeId id) {
    const Edge& edge = circuit_.edge(id);
    const bool forward = point_.edge_A[id.index()] >= 0;
    const NodeId upstream = forward ? edge.from : edge.to;
    const NodeId downstream = forward ? edge.to : edge.from;
    std::vector<EdgeId> before, after;
    // Out of a source and round to its other pole, once. A stronger current of another source that passes
    // there does not lead on: what a 5 V output gives comes back to it, not to the pack.
    if (is_source(edge.role)) {
        follow(downstream, 1, upstream, after);
        return {downstream, std::move(after)};
    }
    const EdgeId source = follow(upstream, -1, {}, before);
    const Edge* from = source && is_source(circuit_.edge(source).role) ? &circuit_.edge(source) : nullptr;
    const bool given = from && point_.edge_A[source.index()] >= 0;
    const NodeId pole = !from ? NodeId() : given ? from->from : from->to;
    follow(downstream, 1, pole, after);
    if (from && from->role == EdgeRole::converter_output && end_of(circuit_, downstream, after) != pole) {
        std::vector<EdgeId> home = way_home(downstream, pole, false);
        if (home.empty() && uses(edge.role)) home = way_home(downstream, pole, true);
        if (!home.empty()) after = std::move(home);
    }
    const NodeId start = end_of(circuit_, upstream, before);
    std::reverse(before.begin(), before.end());
    before.push_back(id);
    before.insert(before.end(), after.begin(), after.end());
    return {start, std::move(before)};
}

CurrentPath trace_current(const Circuit& circuit, const OperatingPoint& point, EdgeId through) {
    return CurrentTracer(circuit, point).through(through);
}

std::vector<Step> current_path(const Circuit& circuit, const OperatingPoint& point, EdgeId edge) {
    const CurrentPath path = trace_current(circuit, point, edge);
    return steps_along(circuit, path.start, path.edges);
}

}  // namespace loomward
