// What guards each wire: planted harnesses. The law behind it is tested in circulation_law_test.cpp.
#include <catch2/catch.hpp>

#include "checker/protection/proof.hpp"
#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace proof_test {

using namespace loomward;
using namespace loomward::testing;

TEST_CASE("two fused feeds into one wire add up, and the cut names both") {
    const std::string text =
        replaced(std::string(example_harness), "splice X1\n",
                 "splice X1\nfuse F9 { 5 A, 80 V dc, breaks 1 kA at 80 V dc, curve iso8820-3 }\n"
                 "route F1.out (W30 1 mm2, 0.15 m, red) F9 (W31 1 mm2, 0.5 m, red) X1\n");
    const Results results = check_text(text);
    const auto wire = results.harness->find_wire("W11");
    REQUIRE(wire);
    std::vector<std::string> guards;
    for (const PartId part : results.guards[wire->index()].devices)
        guards.emplace_back(results.harness->part(part).name);
    CHECK(guards == std::vector<std::string>{"F2", "F9"});
}

TEST_CASE("a wire fed from both ends carries what one end brings, not the sum") {
    // Each of two banks brings 1.35 x 100 A to its own end of W9; 16 mm2 stands 1.45 x 123 A but not twice
    // 135 A.
    const std::string text =
        "loom 1\nharness \"two banks\" { ambient 0..30 degC, insulation xlpe 90 degC }\n"
        "part bank is pack { voltage 21..29 V, resistance 5 mohm, capacity 100 Ah, discharge 100 A, charge "
        "30 A }\n"
        "part bank-fuse is fuse { 100 A, 80 V dc, breaks 20 kA at 80 V dc, curve iso8820-5 }\n"
        "pack B1 is bank\npack B2 is bank\nfuse F1 is bank-fuse\nfuse F2 is bank-fuse\nsplice X1\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W9 16 mm2, 1 m) F2.out>in (W2 16 mm2, 0.1 m) B2.+\n"
        "route B1.- (W3 16 mm2, 0.5 m) X1\nroute B2.- (W4 16 mm2, 0.5 m) X1\nmode rest { others at rest }\n";
    const Results results = check_text(text);
    CHECK(found(results, Severity::error).empty());
}

TEST_CASE("a diode that blocks keeps the unfused feed of another pack off a wire, one that passes does not") {
    const auto unprotected = [](const char* first_diode) {
        const Results results = testing::check_text(
            "loom 1\nharness \"either pack\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
            "part bank is pack { voltage 21..28 V, resistance 8 mohm, capacity 40 Ah, discharge 100 A, "
            "charge 20 A }\n"
            "pack B1 is bank\npack B2 is bank\n"
            "fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
            "diode V1 { 60 A, 100 V, drop 0.6 V }\ndiode V2 { 60 A, 100 V, drop 0.6 V }\nstud X1\n"
            "load E1 { 24 V, 20 A }\n"
            "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.5 m) " +
            std::string(first_diode) +
            " (W3 16 mm2, 0.1 m) X1\n"
            "route B2.+ (W4 16 mm2, 1.5 m) V2 (W5 16 mm2, 0.1 m) X1\n"
            "route X1 (W6 16 mm2, 0.1 m) E1 (W7 16 mm2, 0.1 m) B1.-\nroute B2.- (W8 16 mm2, 0.1 m) E1.-\n"
            "mode on { others at rest }\n");
        std::vector<std::string> wires;
        for (const Finding& finding : results.findings)
            if (finding.rule == "unprotected-wire") wires.push_back(finding.subject);
        return wires;
    };
    // W3 can be reached from B2 up to the diode, W2 behind it cannot.
    CHECK(unprotected("V1") == std::vector<std::string>{"W3", "W4", "W5", "W6"});
    CHECK(unprotected("V1.K>A") == std::vector<std::string>{"W2", "W3", "W4", "W5", "W6"});
}

}  // namespace proof_test
