// What a part is for, what is meant to stop, and what is in reach: said, or taken and told.
#include "checker/follow/stops.hpp"
#include "render/text/text_failures.hpp"
#include "tests/failures/planted_harnesses.hpp"
#include "tests/failures/trying.hpp"

namespace declared_words_test {

using namespace loomward;
using namespace loomward::testing;
using namespace loomward::planted;

namespace {

bool takes(const TriedText& made, std::string_view what) {
    return std::find(made.report.taken.begin(), made.report.taken.end(), what) != made.report.taken.end();
}

const std::string brake = "load Y1 \"holding brake\" { 48 V, 0.5 A }";

}  // namespace

TEST_CASE("what is taken for tasks, stops and reach is told") {
    const TriedText made = tried(hoist);
    CHECK(made.report.taken ==
          std::vector<std::string>{"U1 drive: controllers", "Y1 hold when they are not fed: called a brake",
                                   "A1 command: devices with one signal pin at a controller",
                                   "S3 stop: rest closed in the loop of a coil",
                                   "every switch, breaker and plug is in reach of a hand"});
}

TEST_CASE("a task that is said decides, whatever the label says") {
    // Called otherwise, it holds all the same; called a brake, it may be a lamp.
    const std::string holds = replaced(unheld, brake, "load Y1 \"caliper\" { 48 V, 0.5 A, task holds }");
    CHECK(failure(tried(holds).report, "U1.brake stays on").level == Severity::error);
    CHECK_FALSE(takes(tried(holds), "Y1 hold when they are not fed: called a brake"));
    const std::string nameless = replaced(unheld, brake, "load Y1 \"caliper\" { 48 V, 0.5 A }");
    CHECK(failure(tried(nameless).report, "U1.brake stays on").level != Severity::error);
    const std::string lights =
        replaced(unheld, brake, "load Y1 \"holding brake\" { 48 V, 0.5 A, task lights }");
    CHECK(failure(tried(lights).report, "U1.brake stays on").level != Severity::error);
}

TEST_CASE("a load that drives by its task is followed as a drive without a stall current") {
    const std::string said = replaced(lets_go, "{ 48 V, 20 A, stall 60 A }", "{ 48 V, 20 A, task drives }");
    CHECK(failure(tried(said).report, "F2 opens").then == "M1 runs with nobody asking");
    CHECK(failure(tried(said).report, "F2 opens").level == Severity::error);
    CHECK_FALSE(takes(tried(said), "M1 drive: loads with a stall current"));
    const std::string silent = replaced(lets_go, "{ 48 V, 20 A, stall 60 A }", "{ 48 V, 20 A }");
    CHECK(failure(tried(silent).report, "F2 opens").level != Severity::error);
}

TEST_CASE("what goes off under way is told as a warning where it is to be seen or heard") {
    const auto level = [](const std::string& task) {
        return failure(tried(replaced(hoist, brake, "load Y1 \"box\" { 48 V, 0.5 A" + task + " }")).report,
                       "U1.brake stays off")
            .level;
    };
    CHECK(level("") == Severity::note);
    CHECK(level(", task lights") == Severity::warning);
    CHECK(level(", task warns") == Severity::warning);
}

TEST_CASE("where reach is said, what is out of reach stops nothing") {
    // The isolator lies under the seat: only the key and the stop are left, and neither cuts a welded
    // contactor.
    const std::string text =
        replaced(replaced(hoist, "switch S2 \"key\" { 72 V dc", "switch S2 \"key\" { hand, 72 V dc"),
                 "rest closed }", "rest closed, stop }");
    const TriedText made = tried(text);
    CHECK(failure(tried(hoist).report, "K1 welds").can_do == "S1 cuts it off");
    CHECK(failure(made.report, "K1 welds").can_do == "no one hand cuts it off");
    CHECK_FALSE(takes(made, "every switch, breaker and plug is in reach of a hand"));
    CHECK_FALSE(takes(made, "S3 stop: rest closed in the loop of a coil"));
    const std::string under_the_seat =
        replaced(hoist, "switch S1 \"isolator\" { 72 V dc", "switch S1 \"isolator\" { hand no, 72 V dc");
    CHECK(failure(tried(under_the_seat).report, "K1 welds").can_do == "no one hand cuts it off");
}

TEST_CASE("what is said to be a stop and stops nothing is an error with nothing failed") {
    const auto lines = [](const std::string& text) {
        std::vector<std::string> found;
        for (const FailureLine& line : tried(text).report.lines)
            if (line.who.ends_with(" as drawn")) {
                CHECK(line.level == Severity::error);
                CHECK(line.heading == FailureHeading::unstoppable);
                found.push_back(line.who + ": " + line.then);
            }
        return found;
    };
    const std::string said = replaced(hoist, "rest closed }", "rest closed, stop }");
    CHECK(lines(said).empty());
    // The stop lies beside the key, and the contactor and the key do not go through it.
    const std::string idle =
        replaced(replaced(said, "route S3.out (W9", "route S2.out (W9"), "S3 (W8 1 mm2, 0.5 m, red) U1.key",
                 "U1.key\nroute S2.out (W8 1 mm2, 0.5 m, red) S3.in");
    CHECK(lines(idle) ==
          std::vector<std::string>{"S3 as drawn: it is said to stop, and does not stop U1 in mode lift"});
}

TEST_CASE("the line of check counts what is an error with nothing failed, pairs and what starts by itself") {
    const auto line = [](const std::string& text) {
        const auto harness = harness_of("test.loom", text);
        Results results;
        results.harness = results.judged = harness;
        results.circuit = build_circuit(*harness);
        return unstoppable_text(count_unstoppable(results), "peat.loom");
    };
    CHECK(line(caught) == "");
    CHECK(line(hoist) ==
          "failures: 2 single failures start what nobody asked for: loomward failures peat.loom\n");
    CHECK(line(pulls_in) ==
          "failures: 2 pairs leave nothing that stops or holds, 1 starts what nobody asked for: loomward "
          "failures peat.loom\n");
    const std::string idle =
        replaced(replaced(replaced(caught, "rest closed }", "rest closed, stop }"), "route S3.out (W9",
                          "route S2.out (W9"),
                 "S3 (W8 1 mm2, 0.5 m, red) U1.key", "U1.key\nroute S2.out (W8 1 mm2, 0.5 m, red) S3.in");
    CHECK(line(idle) ==
          "failures: 1 error as drawn and 1 pair leave nothing that stops or holds: loomward failures "
          "peat.loom\n");
}

TEST_CASE(
    "where nothing stops a drive with nothing failed, that is the error, and no less than with a stop") {
    const auto as_drawn = [](const std::string& text) {
        std::vector<std::string> found;
        for (const FailureLine& line : tried(text).report.lines)
            if (line.as_drawn) found.push_back(line.who + ": " + line.then + "; " + line.can_do);
        return found;
    };
    const std::string isolated =
        head +
        "load M1 \"belt\" { 48 V, 20 A, stall 60 A }\n"
        "route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red) M1\n"
        "    (W5 6 mm2, 0.9 m, black) B1.-\n"
        "mode run { S1 closed }\n";
    CHECK(as_drawn(isolated).empty());
    CHECK(failure(tried(isolated).report, "S1 welds").level == Severity::error);
    const std::string bare =
        replaced(replaced(isolated, "F1 (W2 6 mm2, 0.5 m, red) S1 (W3 6 mm2, 0.5 m, red) M1",
                          "F1 (W2 6 mm2, 0.5 m, red) M1"),
                 "mode run { S1 closed }", "mode run { others at rest }");
    CHECK(as_drawn(bare) ==
          std::vector<std::string>{"M1 as drawn: nothing that a hand works stops it in mode run; "});
    const auto harness = harness_of("test.loom", bare);
    const std::string text = failures_text(tried(harness).report, *harness, "test.loom", false, false);
    CHECK(text.find("none found") == std::string::npos);
}

TEST_CASE("a file in which no drive was recognised says so, and what was taken for a mere load") {
    const auto text = [](const std::string& load) {
        const auto harness =
            harness_of("test.loom", replaced(pulls_in, "load M1 \"belt\" { 48 V, 20 A, stall 60 A }", load));
        return failures_text(tried(harness).report, *harness, "test.loom", false, false);
    };
    const std::string nameless = text("load M1 \"belt\" { 48 V, 20 A }");
    CHECK(nameless.find("no drive was recognised: M1 is taken for a mere load, `task drives` says") !=
          std::string::npos);
    CHECK(nameless.find("cannot be stopped or held: no drive was recognised that could be") !=
          std::string::npos);
    for (const char* const name : {"capstan motor", "slewing motor", "traction", "motor of the belt"}) {
        INFO(name);
        const std::string called = text("load M1 \"" + std::string(name) + "\" { 48 V, 20 A }");
        CHECK(called.find("K1 welds: M1 runs with nobody asking") != std::string::npos);
        CHECK(called.find("M1 drive: by what they are called") != std::string::npos);
        CHECK(called.find("no drive was recognised") == std::string::npos);
    }
    for (const char* const name : {"wiper motor", "pump motor", "fan motor", "motor lamp"}) {
        INFO(name);
        const std::string called = text("load M1 \"" + std::string(name) + "\" { 48 V, 20 A }");
        CHECK(called.find("no drive was recognised") != std::string::npos);
    }
}

TEST_CASE("a stop takes the power off only by contacts on the way that may break what flows") {
    const std::string contactor = "relay K1 { contacts no, carries 60 A, breaks 60 A at 60 V dc,";
    const std::string able = replaced(pulls_in, "switch S2 \"hold\" {", "switch S2 \"hold\" { stop,");
    const auto is_told = [](const std::string& text) {
        for (const FailureLine& line : tried(text).report.lines)
            if (line.who == "S2 as drawn") return true;
        return false;
    };
    CHECK_FALSE(is_told(able));
    for (const char* const breaks : {"none", "10 A at 60 V dc", "60 A at 24 V dc", "60 A at 250 V ac"}) {
        INFO(breaks);
        CHECK(is_told(replaced(able, contactor,
                               "relay K1 { contacts no, carries 60 A, breaks " + std::string(breaks) + ",")));
    }
    // By watts what it is by amperes, and a small relay in the loop of the coil breaks nothing of it.
    const std::string watts = replaced(able, "{ 48 V, 20 A, stall 60 A }", "{ 48 V, 960 W, task drives }");
    CHECK_FALSE(is_told(watts));
    CHECK(
        is_told(replaced(watts, contactor, "relay K1 { contacts no, carries 60 A, breaks 10 A at 60 V dc,")));
    const std::string pilot =
        replaced(replaced(replaced(replaced(able, "load M1",
                                            "relay K2 { contacts no, carries 6 A, breaks 2 A at 60 V dc, "
                                            "coil 48 V 20 mA, suppression diode }\nload M1"),
                                   "route A1.hold (W10 1 mm2, 0.5 m, red) K1.A1",
                                   "route A1.hold (W10 1 mm2, 0.5 m, red) K2.A1\n"
                                   "route K2.A2 (W13 1 mm2, 0.5 m, black) B1.-\n"
                                   "route F2.out (W14 1 mm2, 0.5 m, red) K2 (W15 1 mm2, 0.5 m, red) K1.A1"),
                          "K1 released", "K1 K2 released"),
                 "K1 energised", "K1 K2 energised");
    REQUIRE(tried(pilot).report.left_out.empty());
    CHECK_FALSE(is_told(pilot));
    CHECK(is_told(replaced(pilot, contactor, "relay K1 { contacts no, carries 60 A, breaks none,")));
}

}  // namespace declared_words_test
