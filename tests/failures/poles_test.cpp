// What lies in the minus does what it does in the plus.
#include "checker/follow/follow.hpp"
#include "tests/failures/planted_harnesses.hpp"
#include "tests/failures/trying.hpp"

namespace poles_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::planted;

namespace {

// The contactor with its precharge resistor in the plus; both moved to the minus below.
const std::string in_plus = harnesses::with(
    harnesses::with(hoist, "motor M1", "resistor R1 { 470 ohm, 50 W, pulse 100 J }\nmotor M1"), "mode off",
    "route K1.in (W21 1 mm2, 0.2 m, red) R1 (W22 1 mm2, 0.2 m, red) K1.out\nmode off");
const std::string in_minus =
    harnesses::with(in_plus, "K1 (W4 6 mm2, 0.5 m, red) U1.+\nroute U1.- (W5 6 mm2, 0.9 m, black) B1.-",
                    "U1.+\nroute U1.- (W4 6 mm2, 0.5 m, black) K1 (W5 6 mm2, 0.9 m, black) B1.-");
const std::string in_two = harnesses::with(
    harnesses::with(in_plus, "R1 { 470 ohm, 50 W, pulse 100 J }",
                    "R1 { 235 ohm, 50 W, pulse 100 J }\nresistor R2 { 235 ohm, 50 W, pulse 100 J }"),
    "R1 (W22 1 mm2, 0.2 m, red) K1.out", "R1 (W22 1 mm2, 0.2 m, red) R2 (W23 1 mm2, 0.2 m, red) K1.out");

// A battery management that opens while the drive gives back.
std::string managed(bool low) {
    const std::string text =
        replaced(replaced(hoist, "switch S1",
                          std::string("bms Q1 { side ") + (low ? "low" : "high") +
                              ", ports common, discharge 60 A, charge 20 A, trips 100 A after 1 s, "
                              "charge-trips 25 A after 2 s, resistance 1 mohm }\nswitch S1"),
                 "regen none", "regen 18 A");
    const std::string braking = text + "mode lower { like lift, U1 returns 15 A }\n";
    return low ? replaced(braking, "U1.- (W5 6 mm2, 0.9 m, black) B1.-",
                          "U1.- (W5 6 mm2, 0.9 m, black) Q1.P-\nroute Q1.B- (W23 6 mm2, 0.1 m, black) B1.-")
               : replaced(braking, "route B1.+ (W1 6 mm2, 0.1 m, red) F1",
                          "route B1.+ (W23 6 mm2, 0.1 m, red) Q1.B+\nroute Q1.P+ (W1 6 mm2, 0.1 m, red) F1");
}

}  // namespace

TEST_CASE("a precharge resistor that breaks is missed in the minus as in the plus, and where it is two") {
    for (const std::string& text : {in_plus, in_minus, in_two}) {
        const TriedText made = tried(text);
        REQUIRE(made.report.left_out.empty());
        const TriedFailure& open = failure(made.report, "R1 opens");
        CHECK(open.heading == FailureHeading::not_seen);
        CHECK(open.then == "no precharge: a contactor closes onto U1 uncharged");
        CHECK(open.test.starts_with("volts at U1 in mode "));
    }
    CHECK(failure(tried(in_two).report, "W23 breaks").heading == FailureHeading::not_seen);
    // One that bleeds charges nothing.
    const std::string bleed =
        replaced(replaced(in_minus, "route K1.in (W21", "route U1.+ (W21"),
                 "R1 (W22 1 mm2, 0.2 m, red) K1.out", "R1 (W22 1 mm2, 0.2 m, red) U1.-");
    const TriedText other = tried(bleed);
    CHECK(failure(other.report, "R1 opens").then.find("precharge") == std::string::npos);
}

TEST_CASE("a motor without a controller has nothing that is charged first") {
    const std::string slow = replaced(
        replaced(pulls_in, "load M1", "resistor R1 { 10 ohm, 50 W, pulse 100 J }\nload M1"), "mode off",
        "route K1.in (W21 1 mm2, 0.2 m, red) R1 (W22 1 mm2, 0.2 m, red) K1.out\nmode off");
    const TriedText made = tried(slow);
    REQUIRE(made.report.left_out.empty());
    CHECK(failure(made.report, "R1 opens").then.find("precharge") == std::string::npos);
}

TEST_CASE("a battery management that opens while a drive gives back is told on either side") {
    for (const bool low : {false, true}) {
        INFO(low);
        const TriedText made = tried(managed(low));
        REQUIRE(made.report.left_out.empty());
        const TriedFailure& open = failure(made.report, "Q1 opens");
        CHECK(open.heading == FailureHeading::breaks_behind);
        CHECK(open.level == Severity::error);
        CHECK(open.then.starts_with("what U1 gives back (15 A) has nowhere to go: 60 V and more"));
        CHECK(failure(made.report, "W5 breaks").level == Severity::warning);
        const TriedText kept = tried(replaced(managed(low), "U1 returns 15 A", "U1 draws 2 A"));
        CHECK(failure(kept.report, "Q1 opens").heading == FailureHeading::stops_under_way);
    }
}

}  // namespace poles_test
