// Devices too large for the wire they guard.
//
// What counts is the largest current that can stand for long in the wire without any device opening
// (checker/proof): of one fuse its conventional operating current, of two feeds their sum. The limit is 1.45
// times the ampacity where the wire lies (IEC 60364-4-43 433.1), ambient and bundle included; of equal wires
// side by side that of all of them (433.4).
//
// A thin branch is one mistake however many wires it has: wires that the same devices guard and that hang
// together, over contacts and loads too, are one finding. A branch ends where a wire of the right size
// begins.
#include <algorithm>
#include <map>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/circuit/parallel_wires.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"oversized-fuse",
     "a wire in which more than 1.45 times its ampacity can flow for long without any device opening",
     "I2 <= 1.45 Iz; I2 the minimum cut of the conventional operating currents of the devices on the way",
     "IEC 60364-4-43 433.1",
     "every switch counts as closed, selectors one position at a time; a tap within unprotected-length of "
     "its own device is not judged; connected wires behind the same devices are one finding, on the weakest",
     "fuse F2 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }",
     "fuse F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }"},
};

std::string cut_text(const RuleInput& input, const Bound& bound, std::string& source) {
    std::string text;
    for (const EdgeId device : bound.cut) {
        const Edge& edge = input.circuit.edge(device);
        text += (text.empty() ? "" : " + ") + std::string(input.harness.part(edge.part).name);
        if (!is_protective(edge.role)) continue;
        const OperatingCurrent operating = operating_current(input.facts, edge.part);
        text += " " + operating.working;
        if (source.empty()) source = operating.source;
    }
    return text;
}

// A wire that is guarded by too large a device.
struct Thin {
    WireId wire;
    double ampacity_A = 0;
    std::string working;
};

std::optional<Thin> judge(const RuleInput& input, const ParallelGroups& groups, WireId id) {
    const WireProof& proof = input.proof.wires[id.index()];
    const Bound& bound = proof.guarding();
    if (proof.side == Side::neither || proof.unguarded() || bound.cut.empty() || is_short_tap(input, id))
        return std::nullopt;
    const Ampacity limit = standing_ampacity(input.facts, id, input.wires[id.index()]);
    Thin thin{id, limit.current_A, limit.working};
    if (const ParallelWires* beside = groups.of(id)) {
        // Unequal ones are another rule's.
        if (!beside->equal) return std::nullopt;
        thin.ampacity_A = 0;
        for (const WireId each : beside->wires)
            thin.ampacity_A += standing_ampacity(input.facts, each, input.wires[each.index()]).current_A;
        thin.working += ", and " + std::to_string(beside->wires.size() - 1) + " more beside it";
    }
    if (bound.current_A <= 1.45 * thin.ampacity_A * 1.0001) return std::nullopt;
    return thin;
}

// Which of the thin wires hang together.
class Branches {
  public:
    Branches(const RuleInput& input, const std::vector<Thin>& thin)
        : input_(input), sets_(input.circuit.node_count()), ends_(input.circuit.node_count(), false) {
        std::vector<bool> is_thin(input.harness.wires.size(), false);
        for (const Thin& each : thin) is_thin[each.wire.index()] = true;
        for (std::size_t i = 0; i < is_thin.size(); ++i) {
            const Edge& edge = input.circuit.edge(input.circuit.edge_of_wire[i]);
            if (!is_thin[i]) ends_[edge.from.index()] = ends_[edge.to.index()] = true;
        }
        for (const Edge& edge : input.circuit.edges)
            if (edge.wire ? is_thin[edge.wire.index()] : !is_protective(edge.role) && !is_source(edge.role))
                join(edge);
    }
    // Wires with the same mark are one branch. A wire between two ends of branches is one of its own.
    std::size_t of(WireId id) {
        const Edge& edge = input_.circuit.edge(input_.circuit.edge_of_wire[id.index()]);
        for (const NodeId node : {edge.from, edge.to})
            if (!ends_[node.index()]) return sets_.find(node.index());
        return ends_.size() + id.index();
    }

  private:
    void join(const Edge& edge) {
        if (!ends_[edge.from.index()] && !ends_[edge.to.index()])
            sets_.join(edge.from.index(), edge.to.index());
    }

    const RuleInput& input_;
    DisjointSets sets_;
    std::vector<bool> ends_;  // by NodeId: a wire that is thick enough ends here
};

std::string wires_text(const RuleInput& input, const std::vector<Thin>& branch) {
    constexpr std::size_t most = 8;
    if (branch.size() == 1) return named(input.harness, branch.front().wire) + " is";
    std::string names;
    for (std::size_t i = 0; i < std::min(branch.size(), most); ++i)
        names += (i ? ", " : "") + std::string(input.harness.wire(branch[i].wire).name);
    if (branch.size() > most) names += " and " + std::to_string(branch.size() - most) + " more";
    return "wires " + names + " are";
}

// The largest standard rating of the same kind that would pass, A; 0 where there is none.
double passing_rating_A(const RuleInput& input, const Bound& bound, double ampacity_A) {
    const auto rated =
        input.facts.quantity(input.circuit.edge(bound.cut.front()).part, "(rated-current)"_attr);
    const double factor = rated && rated->hi > 0 ? bound.current_A / rated->hi : 0;
    double best = 0;
    for (const double rating : standard_ratings_A())
        if (factor > 0 && rating * factor <= 1.45 * ampacity_A) best = std::max(best, rating);
    return best;
}

void tell(const RuleInput& input, const std::vector<Thin>& branch, Report& report) {
    const Thin& weakest = *std::min_element(branch.begin(), branch.end(), [](const Thin& a, const Thin& b) {
        return a.ampacity_A < b.ampacity_A;
    });
    const Bound& bound = input.proof.wires[weakest.wire.index()].guarding();
    Finding finding = finding_about(input, "oversized-fuse", Severity::error, weakest.wire);
    const bool several = bound.cut.size() > 1;
    finding.message = wires_text(input, branch) + (several ? " guarded by devices that together are too large"
                                                           : " guarded by too large a device");
    finding.beside = (branch.size() > 1 ? "the weakest: may carry " : "may carry ") +
                     amps(weakest.ampacity_A) + " here; " + amps(bound.current_A) + " can flow for long";
    std::string source;
    const std::string devices = cut_text(input, bound, source);
    finding.working = {devices + " = " + amps(bound.current_A) + " > 1.45 x " + amps(weakest.ampacity_A),
                       amps(weakest.ampacity_A) + " = " + weakest.working};
    finding.figures = {{"operating", bound.current_A, Dimension::current},
                       {"ampacity", weakest.ampacity_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 433.1" + (source.empty() ? source : "; " + source);
    for (const EdgeId device : bound.cut) {
        const PartId part = input.circuit.edge(device).part;
        finding.related.push_back({input.harness.part(part).where, named(input.harness, part) + " is here"});
    }
    if (several) {
        finding.help = "a thicker wire, or a device of its own where the feeds meet";
    } else if (const double rating_A = passing_rating_A(input, bound, weakest.ampacity_A); rating_A > 0) {
        finding.help = "a rated current of " + amps(rating_A) + " or less would guard it, or a thicker wire";
    }
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const ParallelGroups groups(input.circuit);
    std::vector<Thin> thin;
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i)
        if (input.harness.wires[i].area.is_known())
            if (auto judged = judge(input, groups, WireId(i))) thin.push_back(std::move(*judged));
    if (thin.empty()) return;
    Branches branches(input, thin);
    std::map<std::pair<std::vector<EdgeId>, std::size_t>, std::vector<Thin>> by_branch;
    for (Thin& each : thin)
        by_branch[{input.proof.wires[each.wire.index()].guarding().cut, branches.of(each.wire)}].push_back(
            std::move(each));
    for (const auto& [key, branch] : by_branch) tell(input, branch, report);
}

}  // namespace

extern const RuleFamily oversized;
const RuleFamily oversized{infos, run};

}  // namespace loomward::rules
