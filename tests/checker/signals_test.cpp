// Leads to signal pins are fed no more than the policy allows, or it is said by what.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

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
