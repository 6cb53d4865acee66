// A mode whose equations do not settle. No harness is known that has one, so the rule is given a point that
// says so.
#include <catch2/catch.hpp>

#include "checker/circuit/touching.hpp"
#include "checker/faults/fault.hpp"
#include "checker/parts/positions.hpp"
#include "checker/protection/zones.hpp"
#include "checker/rules/rule.hpp"
#include "tests/checker/checking.hpp"

namespace loomward::rules::modes {
extern const RuleFamily family;
}

namespace not_solved_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A row of switches in line with a lamp, and what the rule says where no point of these modes settled.
std::vector<Finding> unsettled(int switches, const std::string& modes) {
    std::string parts, way;
    for (int i = 1; i <= switches; ++i) {
        const std::string number = std::to_string(i);
        parts += "switch S" + number + " { 32 V dc, carries 20 A, breaks 10 A at 32 V dc }\n";
        way += " S" + number + " (W" + std::to_string(10 + i) + " 2.5 mm2, 0.1 m)";
    }
    const Results results = check_text(
        "loom 1\nharness \"Lock gate\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 22..29 V, resistance 20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }\n"
        "fuse F1 { 10 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n" +
        parts +
        "load E1 { 24 V, 1 A, acts-as current, works 18..32 V }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.1 m)" +
        way + " E1 (W3 2.5 mm2, 0.1 m) B1.-\n" + modes);
    std::vector<OperatingPoint> points = results.points;
    for (OperatingPoint& point : points) point.status = SolveStatus::not_converged;
    const Facts facts(*results.harness);
    const Touching touching(results.circuit, Positions(results.circuit).ways());
    const Zones zones = find_zones(results.circuit, facts);
    const Proof proof = prove_guards(results.circuit, facts);
    const Transients transients = follow_transients(results.circuit, facts, {});
    const FaultStudy faults(results.circuit, facts, touching, results.wires);
    Report report;
    rules::modes::family.run({*results.harness,
                              results.circuit,
                              points,
                              {},
                              results.wires,
                              zones,
                              proof,
                              transients,
                              faults,
                              results.boxes,
                              facts},
                             report);
    return report.take();
}
const std::string no_numbers = "the equations did not settle; no numbers are given for this mode",
                  not_judged = "not judged in it: currents, voltages, what closes and opens; ";

}  // namespace

TEST_CASE("a mode that could not be solved is told once, with what it is about") {
    const std::vector<Finding> told = unsettled(1, "mode off { others at rest }\nmode on { S1 closed }\n");
    REQUIRE(told.size() == 2);
    for (const Finding& finding : told) {
        CHECK(finding.rule == "not-solved");
        CHECK(finding.severity == Severity::error);
        CHECK(finding.working.front() == no_numbers);
    }
    CHECK(told[0].message == "mode off could not be solved");
    CHECK(told[0].working.back() == not_judged + "its parts at rest");
    CHECK(told[1].message == "mode on could not be solved");
    CHECK(told[1].working.back() == not_judged + "of S1");
}

TEST_CASE("of a mode that says much of many parts eight are named, and how many more there are") {
    const auto about = [](int switches) {
        std::string line = "mode on {";
        for (int i = 1; i <= switches; ++i) line += " S" + std::to_string(i);
        return unsettled(switches, line + " closed }\n").front().working.back();
    };
    CHECK(about(2) == not_judged + "of S1, S2");
    CHECK(about(8) == not_judged + "of S1, S2, S3, S4, S5, S6, S7, S8");
    CHECK(about(10) == not_judged + "of S1, S2, S3, S4, S5, S6, S7, S8 and 2 more");
}

}  // namespace not_solved_test
