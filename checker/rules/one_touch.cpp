// One touch away from a short: contacts that no mode closes, and that would join the poles of a source if
// somebody did.
//
// The modes say what is meant to happen. A push-button across the supply shorts it all the same when a sleeve
// touches it. For every mode: what hangs together without a load, and then each open switch, contactor or
// plain relay closed alone.
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

constexpr RuleInfo infos[] = {
    {"short-when-closed",
     "a switch, contactor or relay that shorts a source as soon as it is closed, in a mode where it is open",
     "no way from plus to minus without a load, with one more contact closed", "common practice, no source",
     "one contact at a time; change-over contacts and selectors are left out, since they open one way as "
     "they close another",
     "splice X1\nswitch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\nroute F1.out (W30 16 mm2, 0.2 m, "
     "red) S9 (W31 16 mm2, 0.2 m, red) B1.-",
     "splice X1"},
};

// Every contact of the part opens one way only: no change-over, no selector.
bool only_closes(const RuleInput& input, PartId part) {
    if (input.harness.part(part).kind == Kind::selector) return false;
    for (const EdgeId id : input.circuit.edges_of_part[part.index()]) {
        const Edge& edge = input.circuit.edge(id);
        if (edge.role == EdgeRole::switching && edge.throw_ != 0) return false;
    }
    return true;
}

void judge_mode(const RuleInput& input, ModeId id, std::set<PartId>& said, Report& report) {
    const Mode& mode = input.harness.modes[id.index()];
    DisjointSets joined = pieces(input.circuit, [&](EdgeId each) {
        const Edge& edge = input.circuit.edge(each);
        return is_conductor(edge.role) && is_closed(input.circuit, mode, edge);
    });
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

void run(const RuleInput& input, Report& report) {
    std::set<PartId> said;
    for (std::size_t i = 0; i < input.harness.modes.size(); ++i) judge_mode(input, ModeId(i), said, report);
}

}  // namespace

extern const RuleFamily one_touch;
const RuleFamily one_touch{infos, run};

}  // namespace loomward::rules
