// Nothing feeds itself: a converter gives where something else feeds it.
#include "tests/failures/planted_harnesses.hpp"
#include "tests/failures/trying.hpp"

namespace sources_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::planted;

namespace {

// The coil hangs on a converter that takes so little that its own output, walked back, would do.
const std::string low_start =
    head +
    "switch S2 \"key\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\n"
    "converter D1 { input 9..60 V, output 12 V 10 A, efficiency 90 %, negative common, standby 5 mA }\n"
    "contactor K1 { carries 60 A, breaks 60 A at 60 V dc, coil 12 V 300 mA, suppression diode }\n"
    "load M1 \"belt\" { 48 V, 20 A, stall 60 A }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) K1 (W3 6 mm2, 0.5 m, red) M1\n"
    "    (W4 6 mm2, 0.9 m, black) B1.-\n"
    "route F1.out (W5 1 mm2, 0.5 m, red) S1 (W6 1 mm2, 0.5 m, red) D1.in+\n"
    "route D1.in- (W7 1 mm2, 0.5 m, black) B1.-\n"
    "route D1.out+ (W8 1 mm2, 0.5 m, red) S2 (W9 1 mm2, 0.5 m, red) K1.A1\n"
    "route K1.A2 (W10 1 mm2, 0.5 m, black) D1.out-\n"
    "mode off { others at rest }\n"
    "mode run { S1 S2 closed, K1 closed }\n";

// A converter behind the contactor that its output holds in, and a push that starts it.
const std::string holds_itself =
    head +
    "switch S2 \"start, push\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\n"
    "switch S3 \"stop\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc, rest closed, stop }\n"
    "converter D1 { input 30..60 V, output 24 V 4 A, efficiency 90 %, negative common, standby 5 mA }\n"
    "contactor K1 { carries 60 A, breaks 60 A at 60 V dc, coil 24 V 100 mA, suppression diode }\n"
    "load M1 \"belt\" { 48 V, 20 A, stall 60 A }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) K1 (W3 6 mm2, 0.5 m, red) M1\n"
    "    (W4 6 mm2, 0.9 m, black) B1.-\n"
    "route K1.in (W5 1 mm2, 0.5 m, red) S2 (W6 1 mm2, 0.5 m, red) K1.out\n"
    "route K1.out (W11 1 mm2, 0.5 m, red) D1.in+\n"
    "route D1.in- (W7 1 mm2, 0.5 m, black) B1.-\n"
    "route D1.out+ (W8 1 mm2, 0.5 m, red) S3 (W9 1 mm2, 0.5 m, red) K1.A1\n"
    "route K1.A2 (W10 1 mm2, 0.5 m, black) D1.out-\n"
    "mode off { S1 open, others at rest }\n"
    "mode run { S1 S2 open, S3 closed, K1 closed }\n";

std::vector<std::string> as_drawn(const TriedText& made) {
    std::vector<std::string> found;
    for (const FailureLine& line : made.report.lines)
        if (line.as_drawn) found.push_back(line.who + ": " + line.then);
    return found;
}

}  // namespace

TEST_CASE("a converter whose input takes its own output does not feed itself") {
    const std::string said =
        replaced(low_start, "breaks 60 A at 72 V dc }", "breaks 60 A at 72 V dc, stop }");
    for (const std::string& text : {said, replaced(said, "input 9..60 V", "input 30..60 V")}) {
        const TriedText made = tried(text);
        CHECK(made.report.left_out.empty());
        CHECK(as_drawn(made).empty());
        CHECK(failure(made.report, "S1 welds").then == "S1 no longer stops M1: S2 is left");
    }
    // Beside the stop it goes on, and that is told.
    const std::string idle = replaced(said, "S1 (W6 1 mm2, 0.5 m, red) D1.in+",
                                      "D1.in+\nroute F1.out (W6 1 mm2, 0.5 m, red) S1.in");
    CHECK(as_drawn(tried(idle)) ==
          std::vector<std::string>{"S1 as drawn: it is said to stop, and does not stop M1 in mode run"});
}

TEST_CASE("a contactor that its own converter holds in stays as the mode has it, in and out") {
    const TriedText made = tried(holds_itself);
    CHECK(made.report.left_out.empty());
    CHECK(as_drawn(made).empty());
    // The push goes round the contact.
    CHECK(failure(made.report, "S2 welds").heading == FailureHeading::unstoppable);
    CHECK(failure(made.report, "S3 welds").then == "nothing that a hand works stops M1");
}

TEST_CASE("a mode that never settles is left out, and named") {
    const std::string buzzing =
        replaced(replaced(lets_go, "S2 (W8 1 mm2, 0.5 m, red) J1.1",
                          "S2 (W8 1 mm2, 0.5 m, red) K2 (W13 1 mm2, 0.5 m, red) J1.1"),
                 "load M1",
                 "relay K2 { contacts nc, carries 8 A, breaks 1 A at 60 V dc, coil 48 V 50 mA, suppression "
                 "diode }\nload M1");
    const std::string wired =
        replaced(replaced(replaced(buzzing, "mode off",
                                   "route K2.out (W14 1 mm2, 0.5 m, red) K2.A1\n"
                                   "route K2.A2 (W15 1 mm2, 0.5 m, black) B1.-\nmode off"),
                          "mode held { S1", "mode held { K2 released, S1"),
                 "mode run { S1", "mode run { K2 released, S1");
    CHECK(tried(wired).report.left_out == std::vector<std::string>{"held"});
}

}  // namespace sources_test
