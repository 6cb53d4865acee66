// Contacts that some mode has closed and that no mode is entered by closing.
#include <algorithm>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/exchanged.hpp"

namespace closed_by_no_mode_test {

using namespace loomward;
using namespace loomward::testing;

TEST_CASE("a contact that no mode closes is judged as somebody closes it") {
    const std::string tug =
        "loom 1\nharness \"Vineyard tug\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 60..84 V, resistance 40 mohm, capacity 20 Ah, discharge 120 A, charge 50 A }\n"
        "fuse F1 { 80 A, 125 V dc, breaks 10 kA at 125 V dc, curve iso8820-5 }\n"
        "switch S1 \"isolator\" { 100 V dc, carries 120 A, makes 100 A, breaks 80 A at 100 V dc }\n"
        "controller U1 { phase-peak 60 A, input 50..90 V, capacitance 2 mF, regen none, supply-limit 40 A, "
        "spare U V W }\n"
        "route B1.+ (W1 25 mm2, 0.15 m) F1 (W2 25 mm2, 0.35 m) S1 (W3 25 mm2, 0.4 m) U1.+\n"
        "route U1.- (W5 25 mm2, 0.4 m) B1.-\n"
        "mode off { others at rest }\nmode on { after off 1 min, S1 closed, U1 at rest }\n";
    CHECK(severity_in(tug, "no-precharge", "S1") == Severity::error);
    const std::string rests_closed =
        with(tug, {{"breaks 80 A at 100 V dc }", "breaks 80 A at 100 V dc, rest closed }"}});
    const Told found = told(rests_closed, "no-precharge", "S1");
    REQUIRE(found);
    CHECK(found.finding->severity == Severity::error);
    CHECK(std::find(found.finding->working.begin(), found.finding->working.end(),
                    "no mode closes switch S1: it is taken to close last, with all else as in the mode where "
                    "that is mildest") != found.finding->working.end());
    const std::string selector = with(
        tug, {{"switch S1 \"isolator\" { 100 V dc",
               "selector S1 \"isolator\" { terminals in out, position on in out, position off, 100 V dc"},
              {"S1 (W3", "S1.in>out (W3"},
              {"S1 closed, U1 at rest", "S1 at on, U1 at rest"}});
    CHECK(severity_in(selector, "no-precharge", "S1") == Severity::error);
    // Nobody says what a breaker makes.
    const Told breaker = told(
        with(tug,
             {{"switch S1 \"isolator\" { 100 V dc, carries 120 A, makes 100 A, breaks 80 A at 100 V dc }",
               "breaker S1 { 100 A, 120 V dc, breaks 20 kA at 120 V dc, curve iec60947-2, reset "
               "hand }"},
              {"S1 closed, U1 at rest", "U1 at rest"}}),
        "no-precharge", "S1");
    REQUIRE(breaker);
    CHECK(breaker.finding->possible);
    // In a mode where nothing hangs behind it, it closes onto nothing.
    const std::string contactor = with(
        rests_closed,
        {{"S1 (W3 25 mm2, 0.4 m) U1.+", "S1 (W6 25 mm2, 0.1 m) K1 (W3 25 mm2, 0.4 m) U1.+"},
         {"controller U1",
          "contactor K1 { carries 120 A, makes 3 kA, breaks 200 A at 100 V dc, coil 12 V 1 A, suppression "
          "diode }\ncontroller U1"},
         {"mode on { after off 1 min, S1 closed, U1 at rest }",
          "mode on { after off 1 min, K1 closed, others at rest }"}});
    CHECK_FALSE(told(contactor, "no-precharge", "S1"));
    // Two modes that follow each other in a circle, both with the contactor closed.
    const std::string example(example_harness);
    const std::string circle =
        with(example,
             {{"mode drive { others at rest, after ready 3 s, K1 S1 closed, U1 draws 35 A, U1 phases 60 A }",
               "mode drive { others at rest, after coast 3 s, K1 S1 closed, U1 draws 35 A, U1 phases 60 A }\n"
               "mode coast { others at rest, after drive 5 s, K1 S1 closed, U1 at rest }"}});
    CHECK_FALSE(told(example, "no-precharge", "K1"));
    CHECK(severity_in(circle, "no-precharge", "K1") == Severity::error);
}

}  // namespace closed_by_no_mode_test
