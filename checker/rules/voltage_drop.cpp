// What is lost on the way from a source to a part and back, where that is most.
#include <algorithm>
#include <cmath>

#include "checker/rules/feeds.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

// What is lost between source and load, out and back, where that is most.
struct Drop {
    const OperatingPoint* point = nullptr;
    Feed feed;
    double now_V = 0, share = 0;  // of the source's voltage
};

// Behind an isolating diode a bank that is charged is as good a source as the alternator before it: so much
// less it is charged with. What stands at the bank, but no less than what arrives; else what feeds stands at.
double stands_at_V(const RuleInput& input, const OperatingPoint& point, const Feed& feed, const Edge& fed) {
    const bool behind_diode = std::any_of(feed.path.edges.begin(), feed.path.edges.end(), [&](EdgeId id) {
        return input.circuit.edge(id).role == EdgeRole::diode;
    });
    double least_V = feed.source_V;
    if (!behind_diode) return least_V;
    const auto supply = [&](NodeId node) { return input.zones.supply_of_node[node.index()]; };
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& top = input.circuit.edges[i];
        if (top.role != EdgeRole::emf || point.edge_A[i] >= 0 || supply(top.to) != supply(fed.from)) continue;
        const std::vector<EdgeId>& sections = input.circuit.edges_of_part[top.part.index()];
        if (EdgeId(i) != sections.back()) continue;
        const NodeId minus = input.circuit.edge(sections.front()).from;
        const double bank_V = point.node_V[top.to.index()] - point.node_V[minus.index()];
        least_V = std::min(least_V, std::max(bank_V, fed_V(point, fed)));
    }
    return least_V;
}

// The moments differ in what else hangs on the way: the lowest voltage, the most current of the load itself
// and the largest loss on the way need not be one moment.
Drop largest_drop(const RuleInput& input, EdgeId id, const std::vector<const OperatingPoint*>& points,
                  Tracers& tracers) {
    Drop worst;
    const Edge& edge = input.circuit.edge(id);
    for (const OperatingPoint* point : points) {
        if (std::abs(point->edge_A[id.index()]) < 1e-3) continue;
        Feed feed = feed_of(input, *point, id, tracers);
        if (feed.dropped_on_purpose || feed.source_V < 1) continue;
        feed.source_V = stands_at_V(input, *point, feed, edge);
        const double now_V = fed_V(*point, edge), share = (feed.source_V - now_V) / feed.source_V;
        if (share > worst.share * (1 + 1e-9)) worst = {point, std::move(feed), now_V, share};
    }
    return worst;
}

}  // namespace

void judge_drop(const RuleInput& input, EdgeId id, const std::vector<const OperatingPoint*>& points,
                Tracers& tracers, Report& report) {
    const Edge& edge = input.circuit.edge(id);
    const Drop worst = largest_drop(input, id, points, tracers);
    const double allowed = input.facts.policy("voltage-drop"_attr).lo / 100;
    if (!worst.point || !above(worst.share, allowed)) return;
    const OperatingPoint& point = *worst.point;
    const CurrentPath& path = worst.feed.path;
    const double source_V = worst.feed.source_V, now_V = worst.now_V, share = worst.share;
    const bool severe = above(share, std::max(0.10, allowed));
    Finding finding =
        finding_about(input, "voltage-drop", severe ? Severity::error : Severity::warning, edge.part);
    finding.message =
        named(input.harness, edge.part) + " loses more voltage on the way than the policy allows";
    finding.beside = to_text(share * 100, Dimension::percentage) + " lost; " +
                     to_text(allowed * 100, Dimension::percentage) + " allowed";
    finding.working = {volts(source_V) + " at the source - " + volts(now_V) +
                       " here = " + volts(source_V - now_V) + ", " +
                       to_text(share * 100, Dimension::percentage) + " of " + volts(source_V)};
    // Where most of it is lost.
    const auto lost_V = [&](EdgeId step) {
        const Edge& each = input.circuit.edge(step);
        return std::abs(point.node_V[each.from.index()] - point.node_V[each.to.index()]);
    };
    std::vector<EdgeId> by_loss;
    for (const EdgeId step : path.edges)
        if (step != id) by_loss.push_back(step);
    std::stable_sort(by_loss.begin(), by_loss.end(),
                     [&](EdgeId a, EdgeId b) { return lost_V(a) > lost_V(b); });
    std::string most;
    for (std::size_t i = 0; i < by_loss.size() && i < 3; ++i) {
        const Edge& each = input.circuit.edge(by_loss[i]);
        const std::string name = each.wire   ? std::string(input.harness.wire(each.wire).name)
                                 : each.part ? std::string(input.harness.part(each.part).name)
                                             : "(direct)";
        most += (i ? ", " : "most of it in ") + name + " " + volts(lost_V(by_loss[i]));
    }
    if (!most.empty()) finding.working.push_back(most);
    finding.figures = {{"drop", share * 100, Dimension::percentage},
                       {"allowed", allowed * 100, Dimension::percentage}};
    finding.source = "policy voltage-drop; ABYC E-11 11.14.2.6: 3 % for critical circuits, 10 % for others";
    finding.help = "thicker or shorter wires where most is lost, or a policy that fits this circuit";
    witnessed(input, finding, point, id);
    report.add(std::move(finding));
}

}  // namespace loomward::rules
