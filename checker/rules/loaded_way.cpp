#include "checker/rules/loaded_way.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "checker/circuit/ways.hpp"
#include "checker/currents/witness.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/positions.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/let_through.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/tables/conductors.hpp"

namespace loomward::rules {

using namespace literals;

namespace {

// The continuous rating of what an edge is, as the other rules judge it; nullopt where it has none.
std::optional<std::pair<double, std::string>> rating_of(const RuleInput& input, const Edge& edge, ModeId mode,
                                                        double current_A) {
    if (edge.wire) {
        const WireLoading& loading = input.wires[edge.wire.index()];
        if (loading.limit_A <= 0) return std::nullopt;
        return std::pair(loading.limit_A, "ampacity of " + named(input.harness, edge.wire));
    }
    if (!edge.part) return std::nullopt;
    const auto rating = current_rating(input.facts, edge, input.facts.ambient(edge.part, mode),
                                       current_A < 0 ? Direction::against : Direction::along);
    if (!rating) return std::nullopt;
    return std::pair(rating->may_A, rating->name + " of " + rated_thing(input.harness, edge));
}

// Whether a pack is on the same pole in the mode.
bool is_on_a_pack(const RuleInput& input, NodeId node, ModeId mode) {
    const Circuit& circuit = input.circuit;
    DisjointSets joined = pieces(circuit, [&](EdgeId id) {
        const Edge& edge = circuit.edge(id);
        return is_conductor(edge.role) && is_closed(circuit, input.harness.modes[mode.index()], edge);
    });
    return std::any_of(circuit.edges.begin(), circuit.edges.end(), [&](const Edge& edge) {
        return edge.role == EdgeRole::emf && joined.same(edge.to.index(), node.index());
    });
}

// A charger beside a pack feeds what is drawn now; it gives no more at the setting, the pack does.
bool starts_at_a_charger_beside_a_pack(const RuleInput& input, const OperatingPoint& point,
                                       const CurrentPath& path) {
    const auto gives = [&](EdgeRole wanted) {
        return std::any_of(input.circuit.at(path.start).begin(), input.circuit.at(path.start).end(),
                           [&](const Incidence& next) {
                               const Edge& edge = input.circuit.edge(next.edge);
                               return edge.role == wanted && edge.to == path.start;
                           });
    };
    return (gives(EdgeRole::charger) || gives(EdgeRole::converter_output)) &&
           is_on_a_pack(input, path.start, point.mode);
}

}  // namespace

std::vector<OnTheWay> loaded_way(const RuleInput& input, const OperatingPoint& point, EdgeId id,
                                 double setting_A) {
    const double draws_A = point.edge_A[id.index()];
    CurrentPath path = trace_current(input.circuit, point, id);
    if (starts_at_a_charger_beside_a_pack(input, point, path)) return {};
    // The source itself is not on the path: the strongest of the sources at its start.
    for (const Incidence& next : input.circuit.at(path.start))
        if (input.circuit.edge(next.edge).role == EdgeRole::emf &&
            input.circuit.edge(next.edge).to == path.start)
            path.edges.push_back(next.edge);
    std::vector<OnTheWay> way;
    for (const EdgeId step : path.edges) {
        if (step == id) continue;
        const auto rating =
            rating_of(input, input.circuit.edge(step), point.mode, point.edge_A[step.index()]);
        if (!rating || rating->first <= 0) continue;
        // What else flows here stays; the controller's share grows with its setting.
        const double now_A = std::abs(point.edge_A[step.index()]);
        const double share = std::min(1.0, now_A / draws_A);
        const double at_setting_A = now_A + share * (setting_A - draws_A);
        way.push_back({rating->first, at_setting_A, share, step, rating->second});
    }
    return way;
}

std::vector<const OperatingPoint*> busiest(const RuleInput& input, EdgeId edge) {
    std::map<ModeId, const OperatingPoint*> best;
    for (const OperatingPoint& point : input.points) {
        if (!point.usable() || point.edge_A[edge.index()] <= 0.1) continue;
        const OperatingPoint*& known = best[point.mode];
        if (!known || point.edge_A[edge.index()] > known->edge_A[edge.index()]) known = &point;
    }
    std::vector<const OperatingPoint*> points;
    for (const auto& [mode, point] : best) points.push_back(point);
    std::sort(points.begin(), points.end(), [&](const OperatingPoint* a, const OperatingPoint* b) {
        return input.harness.modes[a->mode.index()].name < input.harness.modes[b->mode.index()].name;
    });
    return points;
}

namespace {

// A part of the way as strong as it would have to be; nullopt: what it is rated is no single figure.
std::optional<Cure> stronger(const RuleInput& input, const OnTheWay& weak) {
    const Harness& harness = input.harness;
    const Edge& edge = input.circuit.edge(weak.edge);
    if (edge.wire) {
        const Wire& wire = harness.wire(edge.wire);
        const auto area = quantity_from_text(
            smallest_size(weak.carries_A / wire.parallel, conductor_limit_degC(input.facts, edge.wire),
                          wire.aluminium, input.wires[edge.wire.index()].surroundings, wire.awg));
        if (!area) return std::nullopt;
        return at_least(harness, edge.wire, "(area)"_attr, area->lo, Dimension::area);
    }
    if (is_driver(edge.role) ||
        (edge.role == EdgeRole::contact && harness.own_contact_at(edge.from_terminal)))
        return std::nullopt;
    const bool gives = edge.role == EdgeRole::emf || edge.role == EdgeRole::trip;
    const Attr what = is_protective(edge.role) ? "(rated-current)"_attr
                      : gives                  ? "discharge"_attr
                                               : "carries"_attr;
    const auto now = input.facts.quantity(edge.part, what);
    if (!now) return std::nullopt;
    return at_least(harness, edge.part, what, now->lo * weak.carries_A / weak.may_A, Dimension::current);
}

// An edge that has to be stronger: which of the cures says so, and what it may carry today.
struct StrongerEdge {
    std::size_t cure = 0;
    double may_A = 0;
};

// Devices that are raised let more through to the contacts of the way: these have to carry that, or what
// hangs on them is rated for, whichever is less.
void carry_what_is_let_through(const RuleInput& input, const std::map<EdgeId, StrongerEdge>& edges,
                               std::vector<Cure>& cures) {
    std::map<PartId, double> raised_A;
    for (const auto& [id, edge] : edges)
        if (cures[edge.cure].what == "(rated-current)"_attr)
            raised_A[input.circuit.edge(id).part] = cures[edge.cure].value;
    if (raised_A.empty()) return;
    const Positions positions(input.circuit);
    for (std::size_t i = 0; i < positions.count(); ++i) {
        const Guards guards(input, positions.open(i), true, raised_A);
        for (const FeedTree::Branch& branch : guards.tree().branches()) {
            const auto edge = branch.single() ? edges.find(branch.edges.front()) : edges.end();
            if (edge == edges.end()) continue;
            Cure& cure = cures[edge->second.cure];
            const Edge& of = input.circuit.edge(edge->first);
            const NodeId at = branch.below.front();
            const double passes_A = std::min(guards.before(at).current_A, guards.behind(at).current_A);
            if (cure.what != "carries"_attr || !passes_on(of.role) || passes_A == endless_A) continue;
            const double stated_A = input.facts.quantity(of.part, "carries"_attr)->lo;
            cure.value = std::max(cure.value, passes_A * stated_A / edge->second.may_A);
        }
    }
}

}  // namespace

std::vector<Cure> stronger_way(const RuleInput& input, EdgeId id, double setting_A) {
    std::vector<Cure> cures;
    std::map<EdgeId, StrongerEdge> edges;
    for (const OperatingPoint* point : busiest(input, id))
        for (const OnTheWay& each : loaded_way(input, *point, id, setting_A)) {
            if (!above(each.carries_A, each.may_A)) continue;
            const auto cure = stronger(input, each);
            if (!cure) return {};
            const auto known = std::find_if(cures.begin(), cures.end(), [&](const Cure& other) {
                return other.where == cure->where && other.what == cure->what;
            });
            const auto place = static_cast<std::size_t>(known - cures.begin());
            edges.try_emplace(each.edge, StrongerEdge{place, each.may_A});
            if (known == cures.end())
                cures.push_back(or_else(*cure));
            else
                known->value = std::max(known->value, cure->value);
        }
    carry_what_is_let_through(input, edges, cures);
    return cures;
}

}  // namespace loomward::rules
