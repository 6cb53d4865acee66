// A failure that puts the poles of a pack together is told as that, and not as what drops out for it.
#include "tests/failures/planted_harnesses.hpp"
#include "tests/failures/trying.hpp"

namespace shorts_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::planted;

namespace {

// A motor with a diode across it, and a lamp on a fuse of its own.
const std::string with_diode =
    head +
    "load M1 \"belt\" { 48 V, 20 A, stall 60 A }\n"
    "diode D1 { 30 A, 100 V, drop 0.8 V }\n"
    "fuse F2 { 2 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
    "load E1 \"lamp\" { 48 V, 10 W }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red) M1\n"
    "    (W4 6 mm2, 0.9 m, black) B1.-\n"
    "route M1.- (W5 6 mm2, 0.1 m, black) D1 (W6 6 mm2, 0.1 m, red) M1.+\n"
    "route B1.+ (W7 1 mm2, 0.1 m, red) F2 (W8 1 mm2, 0.5 m, red) E1 (W9 1 mm2, 0.9 m, black) B1.-\n"
    "mode off { others at rest }\n"
    "mode haul { S1 closed, others at rest }\n";

}  // namespace

TEST_CASE(
    "a diode across a motor that fails through shorts the pack, and the lamp on its own fuse burns on") {
    const TriedText made = tried(with_diode);
    REQUIRE(made.report.left_out.empty());
    const TriedFailure& through = failure(made.report, "D1 fails through");
    CHECK(through.heading == FailureHeading::shorts_pack);
    CHECK(through.level == Severity::warning);
    CHECK(through.then == "B1 is shorted in mode haul");
    CHECK(through.can_do == "until F1 opens");
    REQUIRE(through.effects.size() == 1);
    CHECK(through.effects[0].text == "M1 dead instead of running, B1 is shorted");
    const std::string unguarded = replaced(with_diode, "F1 (W2 6 mm2, 0.5 m, red) S1", "S1");
    CHECK(failure(tried(unguarded).report, "D1 fails through").level == Severity::error);
    CHECK(failure(tried(unguarded).report, "D1 fails through").can_do == "and nothing on the way opens");
    // In line with the motor it shorts nothing.
    const std::string in_line = replaced(
        replaced(with_diode, "route M1.- (W5 6 mm2, 0.1 m, black) D1 (W6 6 mm2, 0.1 m, red) M1.+\n", ""),
        "S1 (W3 6 mm2, 0.5 m, red) M1",
        "S1 (W3 6 mm2, 0.5 m, red) D1.A\nroute D1.K (W5 6 mm2, 0.1 m, red) M1");
    CHECK(failure(tried(in_line).report, "D1 fails through").heading != FailureHeading::shorts_pack);
}

TEST_CASE("a contact that welds shorts the pack in the mode in which another one closes") {
    const std::string packs = replaced(
        with_diode, "fuse F2",
        "pack B2 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 60 A, charge 20 A }\n"
        "switch S4 \"in line\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }\n"
        "switch S5 \"low\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }\nfuse F2");
    const std::string wired =
        replaced(packs, "mode off",
                 "route B2.- (W10 6 mm2, 0.1 m, black) S4 (W11 6 mm2, 0.1 m, red) B1.+\n"
                 "route B2.- (W12 6 mm2, 0.1 m, black) S5 (W13 6 mm2, 0.1 m, black) B1.-\n"
                 "mode high { S4 closed, S5 open, others at rest }\nmode low { S4 open, S5 closed, others at "
                 "rest }\nmode off");
    const TriedText made = tried(wired);
    REQUIRE(made.report.left_out.empty());
    CHECK(failure(made.report, "S4 welds").heading == FailureHeading::shorts_pack);
    CHECK(failure(made.report, "S4 welds").then == "B1 is shorted in mode low");
    CHECK(failure(made.report, "S4 welds").level == Severity::error);
    CHECK(failure(made.report, "S4 stays open").heading != FailureHeading::shorts_pack);
}

TEST_CASE("packs side by side short nothing, and a chain of packs whose ends meet is shorted") {
    const std::string chain =
        head +
        "pack B2 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 60 A, charge 20 A }\n"
        "switch S4 \"bypass\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }\n"
        "load M1 \"belt\" { 96 V, 20 A, stall 60 A }\n"
        "route B1.+ (W1 6 mm2, 0.1 m, red) S1 (W2 6 mm2, 0.5 m, red) M1 (W3 6 mm2, 0.9 m, black) B2.-\n"
        "route B1.- (W4 6 mm2, 0.1 m, red) B2.+\n"
        "route S1.out (W5 6 mm2, 0.1 m, red) S4 (W6 6 mm2, 0.1 m, black) B2.-\n"
        "mode off { others at rest }\n"
        "mode haul { S1 closed, S4 open }\n";
    const TriedFailure welded = failure(tried(chain).report, "S4 welds");
    CHECK(welded.heading == FailureHeading::shorts_pack);
    const std::string beside = replaced(
        replaced(chain, "route B1.- (W4 6 mm2, 0.1 m, red) B2.+", "route B1.- (W4 6 mm2, 0.1 m, black) B2.-"),
        "S4 (W6 6 mm2, 0.1 m, black) B2.-", "S4 (W6 6 mm2, 0.1 m, red) B2.+");
    CHECK(failure(tried(beside).report, "S4 welds").heading != FailureHeading::shorts_pack);
}

}  // namespace shorts_test
