// Leads to signal pins are fed no more than the policy allows, or it is said by what.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace signals_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::vector<std::string> warnings_with(const std::string& lines) {
    return found(check_text(replaced(std::string(example_harness), "splice X1", "splice X1\n" + lines)),
                 Severity::warning);
}

}  // namespace

TEST_CASE("a signal lead from a fused rail is named with what the fuse lets pass") {
    const std::string text =
        replaced(std::string(example_harness), "splice X1",
                 "splice X1\ndevice A1 { pin level signal }\nroute X1 (W30 0.5 mm2, 1 m, white) A1.level");
    const Results results = check_text(text);
    REQUIRE(found(results, Severity::warning) == std::vector<std::string>{"signal-current W30"});
    for (const Finding& finding : results.findings)
        if (finding.rule == "signal-current") CHECK(finding.beside == "up to 6.75 A; 100 mA allowed");
}

TEST_CASE("a resistor at the source, or a lead between two devices, keeps a signal lead quiet") {
    CHECK(warnings_with("device A1 { pin level signal }\nresistor R1 { 10 kohm, 1 W }\n"
                        "route X1 (W30 0.5 mm2, 0.1 m, white) R1 (W31 0.5 mm2, 1 m, white) A1.level")
              .empty());
    CHECK(warnings_with("device A1 { pin level signal }\ndevice A2 { pin level signal }\n"
                        "route A2.level (W30 0.5 mm2, 1 m, white) A1.level")
              .empty());
}

namespace {

std::optional<Severity> of_pin(const std::string& stands, const std::string& way) {
    const Results results = check_text(
        "loom 1\nharness \"Hoist\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 40..50 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 10 A }\n"
        "fuse F1 { 0.05 A, 80 V dc, breaks 10 kA at 80 V dc, curve ul248-14 }\n"
        "device A1 { pin level signal" +
        stands + ", pin gnd return }\nroute B1.+ (W1 0.5 mm2, 0.1 m) F1 " + way +
        "route A1.gnd (W9 0.5 mm2, 0.1 m) B1.-\nmode on { others at rest }\n");
    for (const Finding& finding : results.findings)
        if (finding.rule == "signal-voltage") return finding.severity;
    return std::nullopt;
}
const std::string straight = "(W2 0.5 mm2, 0.1 m) A1.level\n";

}  // namespace

TEST_CASE("a pack that reaches a signal pin is held to what the pin stands, or asked for it") {
    CHECK(of_pin(" 49.9 V", straight) == Severity::error);
    CHECK(of_pin(" 50 V", straight) == std::nullopt);
    CHECK(of_pin(" unknown V", straight) == Severity::error);
    CHECK(of_pin("", straight) == Severity::note);
    // Behind a resistor it is another rule's.
    CHECK(of_pin(" 5 V",
                 "(W2 0.5 mm2, 0.1 m) R1 (W3 0.5 mm2, 0.1 m) A1.level\nresistor R1 { 100 kohm, 1 W }\n") ==
          std::nullopt);
}

}  // namespace signals_test
