// Stops beside other stops: one that is only asked, one that works in some modes, one that leaves a drive
// charged.
#include <algorithm>

#include "tests/checker/checking.hpp"

namespace emergency_stop_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// S2 takes the key of the controller alone; S1 is a stop as well and parts everything.
std::string quay_hoist(const std::string& label, const std::string& more) {
    return std::string(R"(loom 1
harness "Quay hoist" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 40..57 V, resistance 20..30 mohm, capacity 60 Ah, discharge 120 A, charge 30 A }
fuse F1 { 100 A, 80 V dc, breaks 10 kA at 80 V dc, curve iec60269-gg }
fuse F2 { 5 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
switch S1 "isolator" { 80 V dc, carries 150 A, makes 200 A, breaks 150 A at 80 V dc, stop, hand }
contactor K1 { 80 V dc, carries 150 A, makes 6 kA, breaks 250 A at 80 V dc, coil 48 V 200 mA
  coil-works 34..60 V, suppression varistor }
controller U1 { input 30..60 V, capacitance 20 uF, phase-peak 200 A, supply-limit 60 A, regen none, spare U V W
  pin key supply 50 mA }
switch S2 ")" + label +
                       R"(" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc, rest closed, stop, hand }
switch S3 "run" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc }
busbar X1 { studs 5, carries 200 A }
busbar X2 { studs 6, carries 200 A }
route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.3 m) S1 (W3 35 mm2, 0.3 m) X1.1
route B1.- (W4 35 mm2, 0.3 m) X2.1
route X1.2 (W5 35 mm2, 0.3 m) K1 (W6 35 mm2, 0.3 m) U1.+
route U1.- (W7 35 mm2, 0.3 m) X2.2
route X1.3 (direct) F2 (W8 1 mm2, 1 m) S2 (W9 1 mm2, 1 m) U1.key
route F2.out (W10 1 mm2, 1 m) S3 (W11 1 mm2, 1 m) K1.A1
route K1.A2 (W12 1 mm2, 1 m) X2.3
)" + more + R"(
mode parked { others at rest }
mode hoisting { S1 S2 S3 closed, K1 closed, U1 draws 40 A, others at rest }
)");
}

}  // namespace

TEST_CASE("an emergency stop has to take the power though another stop does") {
    const auto machine = [](const std::string& label, const std::string& more) {
        return check_text(quay_hoist(label, more));
    };
    CHECK(gravest_of(machine("emergency stop", ""), "idle-stop", "S2") == Severity::warning);
    CHECK(gravest_of(machine("stop", ""), "idle-stop", "S2") == Severity::note);
    // One that stops nothing is wired wrongly, whatever S1 does.
    const std::string lamp =
        "fuse F3 { 1 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }\n"
        "load E1 { 48 V, 5 W, works 34..60 V }\n"
        "switch S4 \"side stop\" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc, rest closed, stop, hand }\n"
        "route X1.4 (direct) F3 (W15 1 mm2, 1 m) S4 (W16 1 mm2, 1 m) E1 (W17 1 mm2, 1 m) X2.5\n";
    const Results idle = machine("stop", lamp);
    CHECK(gravest_of(idle, "idle-stop", "S4") == Severity::warning);
    CHECK(finding_of(idle, "idle-stop", "S4")->message == "switch S4 stops nothing");
    // What it asks to stop no longer drives, and the brake stays open.
    const std::string brake =
        "load Y1 \"holding brake\" { 48 V, 20 W, works 34..60 V, task holds }\n"
        "route S3.out (W13 1 mm2, 1 m) Y1 (W14 1 mm2, 1 m) X2.4\n";
    const auto leaves = [](const Results& results) {
        return std::count_if(results.findings.begin(), results.findings.end(), [](const Finding& finding) {
            return finding.rule == "idle-stop" && finding.severity == Severity::warning &&
                   finding.message.find("leaves load Y1 released") != std::string::npos;
        });
    };
    CHECK(leaves(machine("emergency stop", brake)) == 1);
    CHECK(leaves(machine("stop", brake)) == 0);  // a note: S1 lets it fall
}

TEST_CASE("a stop that opens the contactor of something else does not stop nothing") {
    const auto winch = [](const std::string& label) {
        return check_text(quay_hoist(
            "stop",
            "contactor K2 { 80 V dc, carries 60 A, makes 200 A, breaks 100 A at 80 V dc, coil 48 V 100 mA\n"
            "  coil-works 34..60 V, suppression varistor }\n"
            "switch S6 \"" +
                label +
                "\" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc, rest closed, stop, hand }\n"
                "fuse F3 { 30 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }\n"
                "load E1 \"oven\" { 48 V, 20 A, acts-as current, works 34..60 V }\n"
                "route X1.4 (direct) F3 (W20 6 mm2, 1 m) K2 (W21 6 mm2, 1 m) E1 (W22 6 mm2, 1 m) X2.4\n"
                "route F2.out (W23 1 mm2, 1 m) S6 (W24 1 mm2, 1 m) K2.A1\nroute K2.A2 (W25 1 mm2, 1 m) X2.5\n"
                "mode bake { S1 S2 S3 S6 closed, K1 K2 closed, U1 draws 40 A, others at rest }\n"));
    };
    const Results oven = winch("oven stop");
    const Finding* finding = finding_of(oven, "idle-stop", "S6");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "switch S6 opens contactor K2 and stops nothing that drives");
}

TEST_CASE("a stop that works in one mode and not in another is wired wrongly, whatever another stop does") {
    // The hoist stop lies before the coil in mode down; the run switch feeds that past it, or through it.
    const auto hoist = [](const std::string& run) {
        const std::string text =
            quay_hoist("stop",
                       "switch S6 \"hoist stop\" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc, rest closed, "
                       "stop, hand }\n"
                       "switch S7 \"down\" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc }\n"
                       "route F2.out (W15 1 mm2, 1 m) S7 (W17 1 mm2, 1 m) S6 (W16 1 mm2, 1 m) K1.A1\n"
                       "mode down { S1 S2 S6 S7 closed, K1 closed, U1 draws 20 A, others at rest }\n");
        return check_text(replaced(text, "S3 (W11 1 mm2, 1 m) K1.A1", "S3 (W11 1 mm2, 1 m) " + run));
    };
    const Results past = hoist("K1.A1");
    const Finding* finding = finding_of(past, "idle-stop", "S6");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "switch S6 stops controller U1 in mode down and not in mode hoisting");
    CHECK_FALSE(finding_of(hoist("S6.in"), "idle-stop", "S6"));
}

TEST_CASE("a stop that leaves the drive charged through the precharge relay is warned of") {
    const auto hoist = [](const std::string& from) {
        const std::string text = quay_hoist(
            "stop",
            "switch S6 \"hoist stop\" { 80 V dc, carries 6 A, breaks 2 A at 80 V dc, rest closed, stop, hand "
            "}\n"
            "relay K2 { contacts no, 80 V dc, carries 8 A, makes 8 A, breaks 2 A at 80 V dc, coil 48 V 20 "
            "mA, "
            "coil-works 34..60 V, suppression diode }\n"
            "resistor R1 { 68 ohm, 50 W, pulse 60 J }\n"
            "fuse F3 { 1 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }\n"
            "route X1.4 (direct) F3 (W20 1 mm2, 1 m) R1 (W21 1 mm2, 1 m) K2 (W22 1 mm2, 1 m) U1.+\n"
            "route " +
                from +
                " (W23 1 mm2, 1 m) K2.A1\nroute K2.A2 (W24 1 mm2, 1 m) X2.5\n"
                "mode up { S1 S2 S3 S6 closed, K1 closed, K2 energised, U1 draws 40 A, others at rest }\n");
        return check_text(
            replaced(text, "S3 (W11 1 mm2, 1 m) K1.A1", "S3 (W11 1 mm2, 1 m) S6 (W16 1 mm2, 1 m) K1.A1"));
    };
    const Results left = hoist("S3.out");
    const Finding* finding = finding_of(left, "idle-stop", "S6");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "switch S6 takes the power from controller U1 and leaves it charged");
    CHECK(finding->beside == "relay K2 stays closed when it opens, and feeds it through a resistor");
    CHECK_FALSE(finding_of(hoist("S6.out"), "idle-stop", "S6"));
}

}  // namespace emergency_stop_test
