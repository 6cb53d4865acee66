// What one answer knows another does not deny: beside a part that cannot be fed, with one mode alone, and in
// a fuse that was left open.
#include "checker/rules/rule_example.hpp"
#include "tests/checker/exchanged.hpp"

namespace two_answers_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string far_shed(const std::string& pump, const std::string& more) {
    return "loom 1\nharness \"Far shed\" { ambient 0..35 degC, insulation pvc 90 degC }\n"
           "pack B1 { voltage 20..29 V, resistance 30..60 mohm, capacity 40 Ah, discharge 30 A, charge 10 A "
           "}\n"
           "fuse F1 { 20 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
           "switch S1 { 80 V dc, carries 30 A, makes 40 A, breaks 30 A at 80 V dc }\nstud X1\nstud X2\n"
           "load E1 { 24 V, " +
           pump +
           ", acts-as power, works 18..30 V }\nload E2 { 24 V, 10 W, acts-as power, works 18..30 V }\n"
           "route B1.+ (W1 6 mm2, 0.1 m) F1 (W2 6 mm2, 0.3 m) S1 (W3 6 mm2, 90 m) X1\n"
           "route B1.- (W4 6 mm2, 90 m) X2\nroute X1 (W5 4 mm2, 0.5 m) E1 (W6 4 mm2, 0.5 m) X2\n"
           "route X1 (W7 4 mm2, 0.5 m) E2 (W8 4 mm2, 0.5 m) X2\n"
           "mode off { others at rest }\nmode on { S1 closed }\n" +
           more;
}

}  // namespace

TEST_CASE("what goes down with a part that cannot be fed is told, an error where that one is accepted") {
    const std::string accepted = "accept cannot-be-fed on E1 because \"it starts by hand\"\n";
    CHECK_FALSE(severity_in(far_shed("20 W", ""), "undervoltage", "E2"));
    CHECK(severity_in(far_shed("140 W", ""), "cannot-be-fed", "E1") == Severity::error);
    CHECK(severity_in(far_shed("140 W", ""), "undervoltage", "E2") == Severity::warning);
    CHECK(severity_in(far_shed("140 W", accepted), "undervoltage", "E2") == Severity::error);
    // It is told of itself by cannot-be-fed.
    CHECK_FALSE(severity_in(far_shed("140 W", ""), "undervoltage", "E1"));
}

TEST_CASE("of one mode alone nothing is said of what no mode does") {
    const std::string text = with(
        std::string(example_harness),
        {{"splice X1",
          "switch S9 { 80 V dc, carries 2 A, breaks 2 A at 60 V dc }\n"
          "load H9 { 48 V, 4 A, acts-as current, works 30..60 V }\n"
          "charger G9 { output 54.6 V 25 A, reverse blocked }\n"
          "fuse F9 { 35 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
          "route G9.+ (W50 6 mm2, 1 m) F9 (W53 6 mm2, 0.1 m) F1.out\nroute G9.- (W52 6 mm2, 1 m) Q1.P-\n"
          "route F2.out (W30 1 mm2, 0.3 m) S9 (W31 1 mm2, 0.3 m) H9 (W32 1 mm2, 0.3 m) Q1.P-\nsplice X1"}});
    NoFiles files;
    ReadResult read = read_harness_text("hoist.loom", text, files, {});
    REQUIRE(read.harness);
    const auto harness = std::make_shared<const Harness>(std::move(*read.harness));
    const Results whole = check(harness, {});
    CHECK(finding_of(whole, "in-no-mode", "S9"));
    CHECK(finding_of(whole, "setting-too-high", "G9"));
    CheckOptions one;
    one.only_mode = "parked";
    const Results alone = check(harness, one);
    CHECK_FALSE(finding_of(alone, "in-no-mode"));
    CHECK_FALSE(finding_of(alone, "setting-too-high", "G9"));
}

TEST_CASE("a fuse that was left open is asked for no more than its wires are held to") {
    const auto shed = [](const std::string& rated) {
        return check_text(
            "loom 1\nharness \"Near shed\" { ambient 0..35 degC, insulation pvc 70 degC }\n"
            "pack B1 { voltage 20..29 V, resistance 30..60 mohm, capacity 40 Ah, discharge 60 A, charge 10 A "
            "}\n"
            "fuse F1 { " +
            rated +
            ", 80 V dc, breaks 10 kA at 80 V dc, curve iec60269-gg }\n"
            "switch S1 { 80 V dc, carries 30 A, makes 40 A, breaks 30 A at 80 V dc }\n"
            "load E1 { 24 V, 2 A, acts-as current, works 18..30 V }\n"
            "route B1.+ (W1 4 mm2, 0.1 m) F1 (W2 4 mm2, 1 m) S1 (W3 4 mm2, 1 m) E1 (W4 4 mm2, 2 m) B1.-\n"
            "mode off { others at rest }\nmode on { S1 closed }\n");
    };
    std::string asked;
    for (const Finding& finding : shed("unknown A").findings)
        if (finding.subject == "F1" && finding.requirement.starts_with("be ")) asked = finding.requirement;
    INFO(asked);
    const std::size_t dots = asked.find("..");
    REQUIRE(dots != std::string::npos);
    const std::string most = asked.substr(dots + 2);
    CHECK_FALSE(finding_of(shed(most), "oversized-fuse"));
}

}  // namespace two_answers_test
