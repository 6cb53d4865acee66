// Conductors side by side behind one device. If one breaks, the other has it all; and unequal ones never
// share equally. IEC 60364-4-43 433.4 lets equal ones share one device; others want one each.
#include <algorithm>

#include "checker/circuit/by_name.hpp"
#include "checker/circuit/parallel_wires.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::parallel_wires {
namespace {

constexpr RuleInfo infos[] = {
    {"parallel-conductors",
     "wires side by side between the same two points that one device guards and that one of them alone could "
     "not "
     "stand",
     "I2 <= 1.45 Iz of each conductor alone, or equal section, material and length; I2 as for oversized-fuse",
     "IEC 60364-4-43 433.4, 434.4 (memory)",
     "error where the conductors are unequal (lengths may differ by 5 %, no source); equal ones share one "
     "device "
     "by that clause and are noted; conductors that part and meet again at other parts are judged one by one",
     "(W2 16 mm2, 0.2 m, red) K1 (W3 16 mm2, 0.8 m, red) J1.1\nroute F1.out (W30 4 mm2, 0.2 m, red) K1.in",
     "(W2 16 mm2, 0.2 m, red) K1 (W3 16 mm2, 0.8 m, red) J1.1"},
};

struct Judged {
    WireId wire;
    Ampacity one;  // of one of its conductors
};

std::string list_of(const RuleInput& input, const std::vector<WireId>& wires) {
    std::string names;
    for (const WireId id : wires)
        names += (names.empty() ? "" : ", ") + std::string(input.harness.wire(id).name);
    return names;
}

Ampacity of_one(const RuleInput& input, WireId id) {
    Ampacity limit = standing_ampacity(input.facts, id, input.wires[id.index()]);
    limit.current_A /= input.harness.wire(id).parallel;
    return limit;
}

// What can flow for long in the one that is left: the same devices stand before all of them.
double bound_A(const RuleInput& input, const std::vector<WireId>& wires) {
    double bound = 0;
    for (const WireId id : wires) {
        const WireProof& proof = input.proof.wires[id.index()];
        if (proof.side == Side::neither || proof.unguarded()) return 0;
        bound = std::max(bound, proof.guarding().current_A);
    }
    return bound;
}

void report_group(const RuleInput& input, std::vector<WireId> wires, bool equal, Report& report) {
    // How a text is written decides neither which of equal ones it is told of nor how they are listed.
    std::sort(wires.begin(), wires.end(), [&](WireId a, WireId b) {
        return comes_before(input.harness.wire(a).name, input.harness.wire(b).name);
    });
    const double current_A = bound_A(input, wires);
    if (current_A <= 0) return;
    Judged weakest;
    for (const WireId id : wires) {
        if (!input.harness.wire(id).area.is_known()) return;
        const Ampacity one = of_one(input, id);
        if (!weakest.wire || one.current_A < weakest.one.current_A) weakest = {id, one};
    }
    if (current_A <= 1.45 * weakest.one.current_A * 1.0001) return;
    Finding finding =
        finding_about(input, "parallel-conductors", equal ? Severity::note : Severity::error, weakest.wire);
    const bool one_wire = wires.size() == 1;
    const int strands = input.harness.wire(weakest.wire).parallel;
    finding.message = one_wire ? named(input.harness, weakest.wire) + " shares one device among " +
                                     std::to_string(strands) + " conductors"
                               : "wires " + list_of(input, wires) + " side by side share one device" +
                                     (equal ? "" : " and are not equal");
    finding.beside =
        "alone it may carry " + amps(weakest.one.current_A) + "; " + amps(current_A) + " can flow for long";
    finding.working = {amps(current_A) + " > 1.45 x " + amps(weakest.one.current_A),
                       amps(weakest.one.current_A) + " = " +
                           weakest.one.working.substr(0, weakest.one.working.find(", times "))};
    finding.figures = {{"operating", current_A, Dimension::current},
                       {"ampacity", weakest.one.current_A, Dimension::current}};
    finding.source = "IEC 60364-4-43 433.4, 434.4 (memory)";
    for (const WireId id : wires)
        if (id != weakest.wire)
            finding.related.push_back({input.harness.wire(id).where, named(input.harness, id) + " is here"});
    finding.help =
        equal ? "if one breaks the other is not guarded: joints that do not loosen, or a device for each"
              : "the same section, material and length for each, or a device of its own for each";
    report.add(std::move(finding));
}

void run(const RuleInput& input, Report& report) {
    const ParallelGroups groups(input.circuit);
    for (const ParallelWires& group : groups.all()) report_group(input, group.wires, group.equal, report);
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i)
        if (input.harness.wires[i].parallel > 1 && groups.of(WireId(i)) == nullptr)
            report_group(input, {WireId(i)}, true, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::parallel_wires
