// Contacts in line: one that welds unseen leaves the other alone, and the pair leaves nothing.
#include "tests/failures/planted_harnesses.hpp"
#include "tests/failures/trying.hpp"

namespace pairs_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::planted;

namespace {

// A motor behind two contactors whose coils hang side by side behind key and stop.
const std::string doubled =
    harnesses::with(head, "switch S1 \"isolator\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }\n", "") +
    "switch S2 \"key\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\n"
    "switch S3 \"stop\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc, rest closed, stop }\n"
    "contactor K1 { carries 60 A, breaks 60 A at 60 V dc, coil 48 V 50 mA, suppression diode }\n"
    "contactor K2 { carries 60 A, breaks 60 A at 60 V dc, coil 48 V 50 mA, suppression diode }\n"
    "load M1 \"belt\" { 48 V, 20 A, stall 60 A }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) K1 (W3 6 mm2, 0.5 m, red) K2\n"
    "    (W4 6 mm2, 0.5 m, red) M1 (W5 6 mm2, 0.9 m, black) B1.-\n"
    "route F1.out (W6 1 mm2, 0.5 m, red) S2 (W7 1 mm2, 0.5 m, red) S3 (W8 1 mm2, 0.5 m, red) K1.A1\n"
    "route S3.out (W9 1 mm2, 0.5 m, red) K2.A1\n"
    "route K1.A2 (W10 1 mm2, 0.5 m, black) B1.-\n"
    "route K2.A2 (W11 1 mm2, 0.5 m, black) B1.-\n"
    "mode off { others at rest }\n"
    "mode run { S2 S3 closed, K1 K2 closed }\n";

// One contactor, and a second one that opens nothing but the way of a lamp.
const std::string lamp_beside = harnesses::with(
    harnesses::with(harnesses::with(doubled, "K1 (W3 6 mm2, 0.5 m, red) K2\n    (W4 6 mm2, 0.5 m, red) M1",
                                    "K1 (W3 6 mm2, 0.5 m, red) M1"),
                    "load M1", "load E1 \"lamp\" { 48 V, 5 W }\nload M1"),
    "mode off",
    "route F1.out (W12 1 mm2, 0.5 m, red) K2 (W13 1 mm2, 0.5 m, red) E1 (W14 1 mm2, 0.5 m, black) "
    "B1.-\nmode off");

std::vector<std::string> pair_lines(const TriedText& made) {
    std::vector<std::string> found;
    for (const FailureLine& line : made.report.lines)
        if (line.pairs > 0) found.push_back(line.who + ": " + line.then);
    return found;
}

}  // namespace

TEST_CASE("of two contactors in line one that welds is not seen, and both leave nothing") {
    const TriedText made = tried(doubled);
    REQUIRE(made.report.left_out.empty());
    const TriedFailure& welded = failure(made.report, "K1 welds");
    CHECK(welded.heading == FailureHeading::not_seen);
    CHECK(welded.level == Severity::warning);
    CHECK(welded.then == "only K2 still parts what it should");
    CHECK(welded.test == "with K1 released nothing may conduct from K1.in to K1.out");
    CHECK(failure(made.report, "K2 welds").then == "only K1 still parts what it should");
    CHECK(pair_lines(made) ==
          std::vector<std::string>{
              "S3 welds and S2 welds; K1 welds and K2 welds: nothing that a hand works stops M1"});
}

TEST_CASE("a contactor beside the way of the drive is no partner of one in it") {
    const TriedText made = tried(lamp_beside);
    REQUIRE(made.report.left_out.empty());
    CHECK(failure(made.report, "K2 welds").heading != FailureHeading::not_seen);
    CHECK(failure(made.report, "K1 welds").level == Severity::error);
    for (const std::string& line : pair_lines(made)) CHECK(line.find("K2") == std::string::npos);
}

TEST_CASE("of the two poles of a stop one that welds is not seen") {
    const std::string poles =
        replaced(replaced(doubled, "rest closed, stop }", "rest closed, stop, poles 2 }"),
                 "S3 (W8 1 mm2, 0.5 m, red) K1.A1\nroute S3.out (W9",
                 "S3.1.in\nroute S2.out (W12 1 mm2, 0.5 m, red) S3.2.in\n"
                 "route S3.1.out (W8 1 mm2, 0.5 m, red) K1.A1\nroute S3.2.out (W9");
    const TriedText made = tried(poles);
    REQUIRE(made.report.left_out.empty());
    CHECK(failure(made.report, "S3.1.out welds").heading == FailureHeading::not_seen);
    CHECK(failure(made.report, "S3.1.out welds").test ==
          "with S3 open nothing may conduct from S3.1.in to S3.1.out");
    CHECK(pair_lines(made).size() == 1);
}

}  // namespace pairs_test
