// Each kind of failure in a harness in which it is an error, and in one in which it is none.
#include "tests/cli/harnesses.hpp"
#include "tests/failures/trying.hpp"

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string head =
    "loom 1\n"
    "harness \"Peat belt\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 40..58 V, resistance 30 mohm, capacity 20 Ah, discharge 60 A, charge 20 A }\n"
    "fuse F1 { 40 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
    "switch S1 \"isolator\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }\n";

// A motor that runs as soon as a coil lets go: whatever opens on the way to the coil starts it.
const std::string lets_go =
    head +
    "relay K1 { contacts nc, carries 60 A, breaks 60 A at 60 V dc, coil 48 V 50 mA, suppression diode }\n"
    "load M1 \"belt\" { 48 V, 20 A, stall 60 A }\n"
    "fuse F2 { 2 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
    "switch S2 \"hold\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\n"
    "connector J1 { mate P1, half socket, contacts 1, carries 7 A, 100 V, contact-resistance 5 mohm\n"
    "  takes 0.5..1.5 mm2, rated-at 30 degC, limit 105 degC }\n"
    "device A1 { pin feed supply 10 mA, pin hold high-side 1 A, pin gnd return }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red)\n"
    "    K1 (W4 6 mm2, 0.5 m, red) M1 (W5 6 mm2, 0.9 m, black) B1.-\n"
    "route F1.out (W6 1 mm2, 0.5 m, red) F2 (W7 1 mm2, 0.5 m, red) S2 (W8 1 mm2, 0.5 m, red) J1.1\n"
    "    (W9 1 mm2, 0.5 m, red) A1.feed\n"
    "route A1.hold (W10 1 mm2, 0.5 m, red) K1.A1\n"
    "route K1.A2 (W11 1 mm2, 0.5 m, black) B1.-\n"
    "route A1.gnd (W12 1 mm2, 0.5 m, black) B1.-\n"
    "mode off { J1 unmated, others at rest }\n"
    "mode held { S1 S2 closed, K1 energised, A1.hold on }\n"
    "mode run { S1 closed, S2 open, K1 released, A1.hold off }\n";

// The same with a contact that the coil closes: what opens stops the motor.
const std::string pulls_in =
    harnesses::with(harnesses::with(harnesses::with(lets_go, "contacts nc", "contacts no"),
                                    "mode held { S1 S2 closed, K1 energised, A1.hold on }",
                                    "mode held { S1 closed, S2 open, K1 released, A1.hold off }"),
                    "mode run { S1 closed, S2 open, K1 released, A1.hold off }",
                    "mode run { S1 S2 closed, K1 energised, A1.hold on }");

// A drive behind a contactor, with a key and a stop in the loop of its coil, and a holding brake.
const std::string hoist =
    head +
    "switch S2 \"key\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\n"
    "switch S3 \"stop\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc, rest closed }\n"
    "contactor K1 { carries 60 A, makes 60 A, breaks 60 A at 60 V dc, coil 48 V 50 mA, suppression diode }\n"
    "controller U1 { input 30..60 V, capacitance 1 mF, phase-peak 60 A, phase-limit 80 % of phase-peak\n"
    "  supply-limit 40 % of phase-limit, regen none, standby 20 mA, pin key supply 50 mA, pin main low-side "
    "1 A\n"
    "  pin brake low-side 1 A, pin 5v output 5 V 50 mA, pin gnd return, pin lever signal }\n"
    "motor M1 { leads 3, carries 60 A }\n"
    "load Y1 \"holding brake\" { 48 V, 0.5 A }\n"
    "device A1 \"lever\" { pin 5v supply 8 mA, pin gnd return, pin out signal }\n"
    "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red)\n"
    "    K1 (W4 6 mm2, 0.5 m, red) U1.+\n"
    "route U1.- (W5 6 mm2, 0.9 m, black) B1.-\n"
    "route S1.out (W6 1 mm2, 0.5 m, red) S2 (W7 1 mm2, 0.5 m, red) S3 (W8 1 mm2, 0.5 m, red) U1.key\n"
    "route S3.out (W9 1 mm2, 0.5 m, red) K1.A1\n"
    "route K1.A2 (W10 1 mm2, 0.5 m, black) U1.main\n"
    "route S3.out (W11 1 mm2, 0.5 m, red) Y1 (W12 1 mm2, 0.5 m, black) U1.brake\n"
    "route U1.5v (W13 1 mm2, 0.5 m, red) A1.5v\n"
    "route U1.gnd (W14 1 mm2, 0.5 m, black) A1.gnd\n"
    "route U1.lever (W15 1 mm2, 0.5 m, white) A1.out\n"
    "route U1.U (W16 6 mm2, 0.5 m, yellow) M1.U\n"
    "route U1.V (W17 6 mm2, 0.5 m, green) M1.V\n"
    "route U1.W (W18 6 mm2, 0.5 m, blue) M1.W\n"
    "mode off { others at rest }\n"
    "mode ready { S1 S2 S3 closed, K1 open, U1.main U1.brake off, U1 at rest }\n"
    "mode lift { S1 S2 S3 closed, K1 closed, U1.main U1.brake on, U1 draws 10 A }\n";

// The brake hangs before key and stop, and only the isolator ends it.
const std::string late = harnesses::with(hoist, "route S3.out (W11", "route S1.out (W11");
// ... which may not be pulled under load.
const std::string unheld =
    harnesses::with(late, "switch S1 \"isolator\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }",
                    "switch S1 \"link\" { 72 V dc, carries 60 A, breaks none }");

// Nothing but a plug is there to stop it.
const std::string no_stop = harnesses::with(
    harnesses::with(
        harnesses::with(hoist, "switch S1 \"isolator\" { 72 V dc, carries 60 A, breaks 60 A at 72 V dc }",
                        "switch S1 \"link\" { 72 V dc, carries 60 A, breaks none }"),
        "S3 (W8 1 mm2, 0.5 m, red) U1.key\nroute S3.out (W9 1 mm2, 0.5 m, red) K1.A1\n",
        "S3 (W8 1 mm2, 0.5 m, red) U1.key\nroute S1.out (W9 1 mm2, 0.5 m, red) K1.A1\n"),
    "pin key supply 50 mA", "pin key signal");

Severity level_of(const std::string& text, std::string_view of) {
    const TriedText made = tried(text);
    REQUIRE(made.report.left_out.empty());
    return failure(made.report, of).level;
}
FailureHeading heading_of(const std::string& text, std::string_view of) {
    return failure(tried(text).report, of).heading;
}

}  // namespace

TEST_CASE("what opens is an error where it starts a motor, and none where it stops one") {
    const TriedText starts = tried(lets_go), stops = tried(pulls_in);
    REQUIRE(starts.report.left_out.empty());
    REQUIRE(stops.report.left_out.empty());
    for (const std::string_view of : {"W9 breaks", "F2 opens", "J1 parts", "J1.1 opens", "S2 stays open",
                                      "A1.hold stays off", "A1 dies"}) {
        INFO(of);
        CHECK(failure(starts.report, of).level == Severity::error);
        CHECK(failure(starts.report, of).heading == FailureHeading::by_itself);
        CHECK(failure(starts.report, of).then == "M1 runs with nobody asking");
        CHECK(failure(starts.report, of).can_do == "S1 stops it");
        CHECK(failure(stops.report, of).level != Severity::error);
        CHECK(failure(stops.report, of).heading == FailureHeading::stops_under_way);
    }
}

TEST_CASE("a contact that welds is an error where it starts a motor, a warning where only the key is left") {
    CHECK(level_of(lets_go, "K1 welds") == Severity::error);
    CHECK(level_of(pulls_in, "K1 welds") == Severity::error);
    CHECK(level_of(hoist, "K1 welds") == Severity::warning);
    const TriedText made = tried(hoist);
    const TriedFailure& welded = failure(made.report, "K1 welds");
    CHECK(welded.heading == FailureHeading::only_asks);
    CHECK(welded.then == "S2 S3 only ask U1 to stop, which stays live");
    CHECK(welded.can_do == "S1 cuts it off");
}

TEST_CASE("a stop that sticks is not seen: the test that shows it is told") {
    const TriedText made = tried(hoist);
    const TriedFailure& stuck = failure(made.report, "S3 welds");
    CHECK(stuck.heading == FailureHeading::not_seen);
    CHECK(stuck.level == Severity::warning);
    CHECK(stuck.then == "S3 no longer stops U1: S1 S2 are left");
    CHECK(stuck.test ==
          "open S3 in mode lift, which has to give: U1 dead instead of running, Y1 off, K1 lets go");
}

TEST_CASE("a brake that stays open is an error where no stop ends it, and none where it hangs behind them") {
    for (const std::string_view of : {"U1.brake stays on", "W12 touches minus"}) {
        INFO(of);
        CHECK(level_of(unheld, of) == Severity::error);
        CHECK(heading_of(unheld, of) == FailureHeading::unstoppable);
        CHECK(level_of(hoist, of) != Severity::error);
    }
    const TriedText made = tried(unheld);
    CHECK(failure(made.report, "U1.brake stays on").can_do == "only S1 ends it");
    CHECK(heading_of(late, "U1.brake stays on") == FailureHeading::only_asks);
    CHECK(level_of(late, "U1.brake stays on") == Severity::warning);
}

TEST_CASE("a controller that runs on is an error where nothing that may break it takes its power") {
    for (const std::string_view of : {"U1 runs on", "A1 at full command"}) {
        INFO(of);
        CHECK(level_of(hoist, of) == Severity::warning);
        CHECK(level_of(no_stop, of) == Severity::error);
    }
}

TEST_CASE("a main driver that never opens closes the contactor onto an empty drive") {
    const TriedText made = tried(hoist);
    const TriedFailure& on = failure(made.report, "U1.main stays on");
    CHECK(on.heading == FailureHeading::by_itself);
    CHECK(on.then.starts_with("K1 closes with nobody asking, onto U1 uncharged"));
}

TEST_CASE("a converter or diode that fails through is an error where a fuse may not break what comes") {
    const std::string text =
        head +
        "converter D1 { input 30..60 V, output 12 V 10 A, efficiency 88 %, negative common, standby 5 mA }\n"
        "fuse F2 { 5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }\n"
        "load E1 \"lamp\" { 12 V, 10 W, works 9..16 V }\n"
        "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red) D1.in+\n"
        "route D1.in- (W4 6 mm2, 0.5 m, black) B1.-\n"
        "route D1.out+ (W5 1 mm2, 0.5 m, red) F2 (W6 1 mm2, 0.5 m, red) E1 (W7 1 mm2, 0.5 m, black) D1.out-\n"
        "mode off { others at rest }\n"
        "mode lit { S1 closed }\n";
    const TriedText made = tried(text);
    const TriedFailure& through = failure(made.report, "D1 fails through");
    CHECK(through.level == Severity::error);
    CHECK(through.then == "E1 gets 58 V; F2 may not break it");
    const std::string strong =
        replaced(text, "5 A, 32 V dc, breaks 1 kA at 32 V dc", "5 A, 80 V dc, breaks 1 kA at 80 V dc");
    CHECK(level_of(strong, "D1 fails through") == Severity::warning);
    CHECK(heading_of(text, "D1 dies") == FailureHeading::at_rest);
}

TEST_CASE("a cell that is dead is an error where nothing watches the charge") {
    const std::string text =
        "loom 1\n"
        "harness \"Charging trolley\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
        "pack B1 { cells 13s4p, cell-voltage 3.0..4.2 V, cell-resistance 30 mohm, cell-capacity 3 Ah, "
        "discharge 30 A,\n"
        "  charge 8 A }\n"
        "fuse F1 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
        "charger G1 { output 54.6 V 5 A, reverse blocked }\n"
        "route B1.+ (W1 1.5 mm2, 0.1 m, red) F1 (W2 1.5 mm2, 0.5 m, red) G1.+\n"
        "route G1.- (W3 1.5 mm2, 0.9 m, black) B1.-\n"
        "mode off { others at rest }\n"
        "mode charge { G1 delivers 5 A }\n";
    const TriedText made = tried(text);
    CHECK(failure(made.report, "B1 has a dead cell").level == Severity::error);
    CHECK(failure(made.report, "B1 has a dead cell").then ==
          "54.6 V of G1 on 12 cells: 4.55 V each, against 4.2 V");
    CHECK(level_of(replaced(text, "output 54.6 V", "output 50.4 V"), "B1 has a dead cell") == Severity::note);
}

TEST_CASE("a battery management that opens under way is an error where something gives back just then") {
    const std::string crane = example("yard-crane-96v");
    const TriedText made = tried(example_harness("yard-crane-96v", crane));
    CHECK(failure(made.report, "Q1 opens").level == Severity::error);
    CHECK(failure(made.report, "Q1 opens").heading == FailureHeading::breaks_behind);
    const std::string kept =
        replaced(crane, "U1 returns 35 A for 15 s then 0 A for 60 s repeating", "U1 draws 2 A");
    const TriedText other = tried(example_harness("yard-crane-96v", kept));
    CHECK(failure(other.report, "Q1 opens").level == Severity::warning);
    CHECK(failure(other.report, "Q1 opens").heading == FailureHeading::stops_under_way);
}

TEST_CASE("every kind of part has its failures, or says why it has none") {
    for (const PartFailures& each : part_failures()) {
        INFO(static_cast<int>(each.part));
        CHECK((each.count == 0) == !each.none_because.empty());
    }
    CHECK(part_failures().size() == static_cast<std::size_t>(Kind::wire) + 1);
}
