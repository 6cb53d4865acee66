// One touch away from a short: contacts that no mode closes, and that would join the poles of a source if
// somebody did.
//
// The modes say what is meant to happen. A push-button across the supply shorts it all the same when a sleeve
// touches it. For every mode: what hangs together without a load, and then each open switch, contactor or
// plain relay closed alone, each selector at each of its other positions, each relay with a change-over
// contact the other way.
#include <set>

#include "checker/circuit/disjoint_sets.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/other_ways.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::one_touch {
namespace {

constexpr RuleInfo infos[] = {
    {"short-when-closed",
     "a switch, contactor or relay that shorts a source as soon as it is closed, in a mode where it is open; "
     "a selector that does at another of its positions, a change-over relay that does the other way",
     "no way from plus to minus without a load, with one part otherwise than in the mode",
     "common practice, no source",
     "one part at a time; selectors and change-over relays with all their poles",
     "splice X1\nswitch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\nroute F1.out (W30 16 mm2, 0.2 m, "
     "red) S9 (W31 16 mm2, 0.2 m, red) B1.-",
     "splice X1"},
};

void judge_mode(const RuleInput& input, ModeId id, std::set<PartId>& said, Report& report) {
    const Mode& mode = input.harness.modes[id.index()];
    DisjointSets joined = closed_in(input, mode);
    // Poles of sources, by the pair of pieces they stand on.
    std::set<std::pair<std::size_t, std::size_t>> poles;
    for (const Edge& edge : input.circuit.edges)
        if (is_source(edge.role) && !joined.same(edge.from.index(), edge.to.index()))
            poles.insert(std::minmax(joined.find(edge.from.index()), joined.find(edge.to.index())));
    for (const Edge& edge : input.circuit.edges) {
        if (edge.role != EdgeRole::switching || is_closed(input.circuit, mode, edge)) continue;
        if (said.contains(edge.part) || !only_closes(input, edge.part)) continue;
        if (!poles.contains(std::minmax(joined.find(edge.from.index()), joined.find(edge.to.index()))))
            continue;
        said.insert(edge.part);
        Finding finding = finding_about(input, "short-when-closed", Severity::error, edge.part);
        finding.message = "closing " + named(input.harness, edge.part) + " would short a source";
        finding.beside = "in mode " + std::string(mode.name) + " it stands straight across the poles";
        finding.working = {std::string(input.harness.terminal(edge.from_terminal).path) + " and " +
                           std::string(input.harness.terminal(edge.to_terminal).path) +
                           " hang on the two poles of a source with no load between"};
        finding.source = "common practice, no source";
        finding.mode = id;
        finding.help =
            "put it in line with what it switches, not across the supply; of two that reverse a motor, an "
            "interlock that keeps one open while the other is closed, and an accepted finding that names it";
        report.add(std::move(finding));
    }
}

// A source whose poles hang together in the mode and did not before.
EdgeId newly_shorted(const RuleInput& input, DisjointSets& before, const Mode& now) {
    DisjointSets after = closed_in(input, now);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i) {
        const Edge& edge = input.circuit.edges[i];
        if (is_source(edge.role) && after.same(edge.from.index(), edge.to.index()) &&
            !before.same(edge.from.index(), edge.to.index()))
            return EdgeId(i);
    }
    return {};
}

void judge_other_ways(const RuleInput& input, PartId part, ModeId id, DisjointSets& before,
                      std::set<PartId>& said, Report& report) {
    const Mode& mode = input.harness.modes[id.index()];
    for (const State& other : other_ways(input, part, mode.states[part.index()])) {
        Mode changed = mode;
        changed.states[part.index()] = other;
        const EdgeId source = newly_shorted(input, before, changed);
        if (!source) continue;
        const bool selector = other.posture == Posture::at_position;
        Finding finding = finding_about(input, "short-when-closed", Severity::error, part);
        finding.message = other_way_text(input, part, other) + " would short a source";
        finding.beside = "with all else as in mode " + std::string(mode.name);
        finding.working = {"the poles of " + named(input.harness, input.circuit.edge(source).part) +
                           " hang together then with no load between"};
        finding.source = "common practice, no source";
        finding.mode = id;
        finding.related.push_back({input.harness.part(input.circuit.edge(source).part).where,
                                   named(input.harness, input.circuit.edge(source).part) + " is here"});
        finding.help = selector
                           ? "a position that opens the one way before it closes the other, or an interlock "
                             "with what else stands closed"
                           : "contacts that cannot stand so: one relay for both, or an interlock, and an "
                             "accepted finding that names it";
        said.insert(part);
        report.add(std::move(finding));
        return;
    }
}

void run(const RuleInput& input, Report& report) {
    std::set<PartId> said;
    for (std::size_t i = 0; i < input.harness.modes.size(); ++i) judge_mode(input, ModeId(i), said, report);
    const std::vector<PartId> parts = parts_with_other_ways(input);
    if (parts.empty()) return;
    for (std::size_t i = 0; i < input.harness.modes.size(); ++i) {
        DisjointSets before = closed_in(input, input.harness.modes[i]);
        for (const PartId part : parts)
            if (!said.contains(part)) judge_other_ways(input, part, ModeId(i), before, said, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::one_touch
