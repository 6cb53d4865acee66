// Wires side by side, and branches that are too thin for their device.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace parallel_wires_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string contactor_lead = "K1 (W3 16 mm2, 0.8 m, red) J1.1";

// The example hoist with other leads behind the contactor; F1 lets 1.35 x 60 A = 81 A pass for long (ISO
// 8820-5, memory).
Results with_leads(const std::string& first, const std::string& second) {
    std::string text = replaced(std::string(example_harness), contactor_lead, "K1 (W3 " + first + ") J1.1");
    if (!second.empty())
        text = replaced(text, "splice X1\n", "splice X1\nroute K1.out (W30 " + second + ") J1.1\n");
    return check_text(replaced(text, "takes 10..16 mm2", "takes 1..16 mm2"));
}

std::vector<std::string> of_rule(const Results& results, const std::string& rule) {
    std::vector<std::string> list;
    for (const Finding& finding : results.findings)
        if (finding.rule == rule) list.push_back(finding.message);
    return list;
}

}  // namespace

TEST_CASE("unequal wires side by side are an error if one alone is not guarded") {
    const Results results = with_leads("4 mm2, 0.8 m, red", "6 mm2, 0.8 m, red");
    const Finding* finding = finding_of(results, "parallel-conductors");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "wires W3, W30 side by side share one device and are not equal");
    CHECK(finding->subject == "W3");
    CHECK(finding->beside == "alone it may carry 41.6 A; 81 A can flow for long");
    CHECK(finding->working == std::vector<std::string>{"81 A > 1.45 x 41.6 A",
                                                       "41.6 A = 45.6 A (4 mm2, 90 degC) x 0.913 (40 degC)"});
    CHECK(finding->source == "IEC 60364-4-43 433.4, 434.4 (memory)");
    CHECK(of_rule(results, "oversized-fuse").empty());
}

TEST_CASE("equal wires side by side share one device by the clause: a note, and judged together") {
    const Results results = with_leads("4 mm2, 0.8 m, red", "4 mm2, 0.83 m, red");
    const Finding* finding = finding_of(results, "parallel-conductors");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(of_rule(results, "oversized-fuse").empty());
    // 20 % longer is no longer equal.
    const Results longer = with_leads("4 mm2, 0.8 m, red", "4 mm2, 0.96 m, red");
    REQUIRE(finding_of(longer, "parallel-conductors"));
    CHECK(finding_of(longer, "parallel-conductors")->severity == Severity::error);
}

TEST_CASE("a wire of several equal conductors says what one of them alone could carry") {
    const Results results = with_leads("4 mm2, 0.8 m, red, parallel 2", "");
    const Finding* finding = finding_of(results, "parallel-conductors");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->message == "wire W3 shares one device among 2 conductors");
    CHECK(of_rule(results, "oversized-fuse").empty());
}

TEST_CASE("wires side by side that each stand the device alone are silent") {
    CHECK(!finding_of(with_leads("16 mm2, 0.8 m, red", "10 mm2, 1.5 m, red"), "parallel-conductors"));
}

TEST_CASE("equal wires that together are still too thin are guarded by too large a device") {
    const Results results = with_leads("1.5 mm2, 0.8 m, red", "1.5 mm2, 0.8 m, red");
    const Finding* finding = finding_of(results, "oversized-fuse");
    REQUIRE(finding);
    CHECK(finding->message == "wires W3, W30 are guarded by too large a device");
    CHECK(finding->working ==
          std::vector<std::string>{
              "F1 1.35 x 60 A = 81 A > 1.45 x 48.2 A",
              "48.2 A = 26.4 A (1.5 mm2, 90 degC) x 0.913 (40 degC), and 1 more beside it"});
}

TEST_CASE("a thin branch is one finding, on its weakest wire, and names all of its wires") {
    const Results results = check_text(replaced(
        std::string(example_harness), "F2 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }",
        "F2 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }"));
    // The short tap before F2 is its own: F1 need not guard it, the device at its end must.
    CHECK(of_rule(results, "oversized-fuse") ==
          std::vector<std::string>{"wire W8 is guarded by too large a device",
                                   "wires W9, W10, W11, W12, W13, W14, W15 are guarded by too large a device",
                                   "wire W16 is guarded by too large a device"});
}

TEST_CASE("two thin branches behind the same device are two findings") {
    const Results results =
        check_text(replaced(std::string(example_harness), "splice X1\n",
                            "splice X1\nload H8 { 48 V, 10 W }\nload H9 { 48 V, 10 W }\n"
                            "route K1.out (W30 1 mm2, 1 m, red) H8 (W31 1 mm2, 1 m, black) Q1.P-\n"
                            "route K1.out (W32 1 mm2, 1 m, red) H9 (W33 1 mm2, 1 m, black) Q1.P-\n"));
    CHECK(of_rule(results, "oversized-fuse") ==
          std::vector<std::string>{"wires W30, W31 are guarded by too large a device",
                                   "wires W32, W33 are guarded by too large a device"});
}

}  // namespace parallel_wires_test
