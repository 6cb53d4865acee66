#include "checker/rules/feeds.hpp"

#include <algorithm>
#include <cmath>

#include "checker/parts/elements.hpp"

namespace loomward::rules {

bool strained(const RuleInput& input, const OperatingPoint& point, const Edge& edge) {
    const auto shares = [&](EdgeId other) {
        const Edge& each = input.circuit.edge(other);
        const auto supply = [&](NodeId node) { return input.zones.supply_of_node[node.index()]; };
        const NodeId plus = each.role == EdgeRole::regeneration ? each.to : each.from;
        return supply(plus) == supply(edge.from);
    };
    return std::any_of(point.collapsed.begin(), point.collapsed.end(), shares) ||
           std::any_of(point.unabsorbed.begin(), point.unabsorbed.end(), shares);
}

bool CalledOn::operator()(ModeId mode, const Edge& edge) {
    const Mode& stated = input_.harness.modes[mode.index()];
    if (stated.states[edge.part.index()].posture == Posture::off) return false;
    std::optional<Loops>& loops = loops_[mode.index()];
    if (!loops) loops = loops_in(stated);
    return loops->with_packs.same(edge.from.index(), edge.to.index()) &&
           !loops->without.same(edge.from.index(), edge.to.index());
}

CalledOn::Loops CalledOn::loops_in(const Mode& mode) const {
    const auto leads = [&](EdgeId id) {
        const Edge& edge = input_.circuit.edge(id);
        return (is_conductor(edge.role) || is_driver(edge.role)) && is_closed(input_.circuit, mode, edge);
    };
    return {pieces(input_.circuit, leads), pieces(input_.circuit, [&](EdgeId id) {
                return input_.circuit.edge(id).role == EdgeRole::emf || leads(id);
            })};
}

bool is_fed(const OperatingPoint& point, EdgeId id, const Edge& edge, CalledOn& called_on) {
    const double now_V = fed_V(point, edge), current_A = std::abs(point.edge_A[id.index()]);
    if (now_V < -0.5) return false;
    if (now_V >= 0.5 ? current_A >= 1e-6 : current_A >= 0.1) return true;
    return now_V < 0.5 && point.mode && called_on(point.mode, edge);
}

Feed feed_of(const RuleInput& input, const OperatingPoint& point, EdgeId id, Tracers& tracers) {
    Feed feed;
    feed.path = tracers.try_emplace(&point, input.circuit, point).first->second.through(id);
    NodeId end = feed.path.start;
    for (const EdgeId step : feed.path.edges) {
        const Edge& each = input.circuit.edge(step);
        const bool drops = each.role == EdgeRole::resistor || uses(each.role);
        feed.dropped_on_purpose = feed.dropped_on_purpose || (drops && step != id);
        end = each.from == end ? each.to : each.from;
    }
    feed.source_V = point.node_V[feed.path.start.index()] - point.node_V[end.index()];
    return feed;
}

}  // namespace loomward::rules
