// The contact that precharges: a resistor in line with it holds what it closes onto down.
#include <catch2/catch.hpp>

#include "tests/checker/told.hpp"

namespace precharge_push_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

Told barge(const std::string& push, const std::string& resistor, const std::string& way) {
    return told(
        "loom 1\nharness \"Peat barge\" { ambient 20..20 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 40..54.6 V, resistance 30 mohm, capacity 100 Ah, discharge 60 A, charge 10 A }\n"
        "fuse F1 { 40 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
        "fuse F2 { 1 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, clears 20 A2s }\n"
        "switch S1 { 80 V dc, carries 100 A, makes 100 A, breaks 60 A at 60 V dc }\nswitch S5 \"push\" { 80 "
        "V "
        "dc" +
            push + " }\nresistor R1 { " + resistor +
            ", pulse 60 J }\n"
            "controller U1 { input 30..60 V, capacitance 6 mF, supply-limit 30 A, phase-peak 100 A, regen "
            "none, spare U V W }\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) S1 (W3 16 mm2, 0.1 m, red) U1.+\n"
            "route U1.- (W4 16 mm2, 0.1 m, black) B1.-\n" +
            way +
            "\nmode off { others at rest }\nmode filling { S5 closed, others at rest }\n"
            "mode on { after filling 30 s, S1 closed, others at rest }\n",
        "no-precharge", "S5");
}
const std::string in_line =
    "route F1.out (W5 1 mm2, 0.1 m, red) F2 (W6 1 mm2, 0.1 m, red) S5 (W7 1 mm2, 0.1 m, red) R1 (W8 1 mm2, "
    "0.1 m, red) U1.+";

}  // namespace

TEST_CASE("a push button in line with the precharge resistor needs no rating for what that leaves") {
    CHECK_FALSE(barge("", "470 ohm, 10 W", in_line));
    // What it makes is judged where it is known, however small.
    CHECK(barge(", makes 100 mA", "470 ohm, 10 W", in_line));
    // Where that is asked for, what it has to make is said: 54.6 V / 470 ohm.
    const Told asked = barge(", makes unknown", "470 ohm, 10 W", in_line);
    const auto& findings = asked.results.findings;
    CHECK(std::any_of(findings.begin(), findings.end(), [](const Finding& each) {
        return each.asks() && each.subject == "S5" && each.requirement == "make 117 mA";
    }));
}

TEST_CASE("a push button that closes onto more than draws no arc, or past the resistor, is told") {
    const Told more = barge("", "100 ohm, 50 W", in_line);
    REQUIRE(more);
    CHECK(more.finding->possible);
    CHECK(more.finding->severity == Severity::error);
    // The resistor lies across the capacitors, and limits nothing.
    CHECK(
        barge("", "470 ohm, 10 W",
              "route F1.out (W5 1 mm2, 0.1 m, red) F2 (W6 1 mm2, 0.1 m, red) S5 (W7 1 mm2, 0.1 m, red) U1.+\n"
              "route U1.+ (W8 1 mm2, 0.1 m, red) R1 (W9 1 mm2, 0.1 m, black) U1.-"));
}

}  // namespace precharge_push_test
