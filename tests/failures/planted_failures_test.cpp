// Each kind of failure in a harness in which it is an error, and in one in which it is none.
#include "tests/failures/planted_harnesses.hpp"
#include "tests/failures/trying.hpp"

namespace planted_failures_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::planted;

namespace {

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
        CHECK(level_of(caught, of) != Severity::error);
    }
    const TriedText made = tried(unheld);
    CHECK(failure(made.report, "U1.brake stays on").can_do == "only S1 ends it");
    const std::string never_ready =
        replaced(late, "mode ready { S1 S2 S3 closed, K1 open, U1.main U1.brake off, U1 at rest }\n", "");
    CHECK(heading_of(never_ready, "U1.brake stays on") == FailureHeading::only_asks);
    CHECK(level_of(never_ready, "U1.brake stays on") == Severity::warning);
}

TEST_CASE("a brake that opens where nothing runs is an error, and none where it is unfed there") {
    const TriedText made = tried(hoist);
    for (const std::string_view of : {"U1.brake stays on", "W12 touches minus"}) {
        INFO(of);
        const TriedFailure& open = failure(made.report, of);
        CHECK(open.level == Severity::error);
        CHECK(open.heading == FailureHeading::by_itself);
        CHECK(open.then == "Y1 opens with nobody asking: nothing drives, and nothing holds, in mode ready");
        CHECK(open.can_do == "only S1..S3 end it");
        CHECK(heading_of(late, of) == FailureHeading::by_itself);
        CHECK(level_of(late, of) == Severity::error);
    }
    // The same with what breaks: a coil that holds the feed of the brake open.
    const std::string pulled_off =
        replaced(replaced(replaced(hoist,
                                   "route S3.out (W11 1 mm2, 0.5 m, red) Y1 (W12 1 mm2, 0.5 m, black) "
                                   "U1.brake\n",
                                   "route S3.out (W11 1 mm2, 0.5 m, red) K2 (W20 1 mm2, 0.5 m, red) Y1\n"
                                   "    (W12 1 mm2, 0.5 m, black) B1.-\n"
                                   "route S3.out (W21 1 mm2, 0.5 m, red) S4 (W22 1 mm2, 0.5 m, red) K2.A1\n"
                                   "route K2.A2 (W23 1 mm2, 0.5 m, black) B1.-\n"),
                          "motor M1",
                          "relay K2 \"catch\" { contacts nc, carries 5 A, breaks 2 A at 60 V dc, coil 48 V "
                          "20 mA, suppression diode }\n"
                          "switch S4 \"catch\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }\nmotor M1"),
                 "mode ready { S1 S2 S3 closed, K1 open,", "mode ready { S1 S2 S3 S4 closed, K1 open,");
    const std::string states =
        replaced(replaced(pulled_off, "U1.main U1.brake off", "K2 energised, U1.main U1.brake off"),
                 "mode lift { S1", "mode lift { K2 released, S4 open, S1");
    CHECK(level_of(states, "W22 breaks") == Severity::error);
    CHECK(heading_of(states, "W22 breaks") == FailureHeading::by_itself);
    CHECK(level_of(states, "W20 breaks") != Severity::error);
}

TEST_CASE("a mode that is entered in need shows no failure before") {
    const std::string noted = hoist + "mode struck { like ready, S3 open }\n" +
                              "mode struck_under_way { like lift, S3 open, K1 open, U1.main U1.brake on }\n";
    const auto lines = [](const std::string& text) {
        std::vector<std::string> found;
        for (const FailureLine& line : tried(text).report.lines)
            found.push_back(line.who + ": " + line.then + "; " + line.can_do);
        return found;
    };
    CHECK(tried(noted).report.left_out.empty());
    CHECK(lines(noted) == lines(hoist));
    CHECK(failure(tried(noted).report, "S3 welds").hidden);
    CHECK(failure(tried(noted).report, "S3 welds").heading == FailureHeading::not_seen);
    CHECK(tried(noted).report.pairs == tried(hoist).report.pairs);
    // A switch that ends the work every day is seen to weld.
    const std::string daily = replaced(hoist, "switch S2 \"key\" {", "switch S2 \"key\" { stop,");
    CHECK(failure(tried(daily).report, "S2 welds").heading ==
          failure(tried(hoist).report, "S2 welds").heading);
}

TEST_CASE("a motor that runs though the stop is struck ran before: its stop no longer stops it") {
    const std::string belt = harnesses::with(
        harnesses::with(
            pulls_in, "switch S2 \"hold\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }",
            "switch S2 \"emergency stop\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc, rest closed }\n"
            "switch S3 \"key\" { 72 V dc, carries 6 A, breaks 2 A at 72 V dc }"),
        "F2 (W7 1 mm2, 0.5 m, red) S2 (W8", "F2 (W7 1 mm2, 0.5 m, red) S3 (W13 1 mm2, 0.5 m, red) S2 (W8");
    const std::string ready =
        replaced(replaced(belt, "mode held { S1 closed, S2 open, K1 released, A1.hold off }",
                          "mode held { S1 closed, S2 closed, S3 open, K1 released, A1.hold off }"),
                 "mode run { S1 S2 closed", "mode run { S1 S2 S3 closed");
    const std::string noted = ready + "mode struck { like run, S2 open, K1 released, A1.hold on }\n";
    for (const std::string& text : {ready, noted}) {
        const TriedText made = tried(text);
        REQUIRE(made.report.left_out.empty());
        const TriedFailure& stuck = failure(made.report, "S2 welds");
        CHECK(stuck.heading == FailureHeading::not_seen);
        CHECK(stuck.then == "S2 no longer stops M1: S1 S3 are left");
        CHECK(failure(made.report, "K1 welds").heading == FailureHeading::by_itself);
    }
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

}  // namespace planted_failures_test
