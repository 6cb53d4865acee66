// Nothing is turned green by a line more, another kind or another word: the same danger is told with it and
// without it, and what really mends it does.
#include "checker/rules/rule_example.hpp"
#include "tests/checker/exchanged.hpp"

namespace nothing_turns_green_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// The danger, what is added to it or put in its place, and what mends it with that in place.
struct Case {
    std::string_view name, rule, subject;
    std::vector<Exchange> danger, added, mended;
};

void try_case(const Case& each, Severity wanted = Severity::error) {
    INFO(each.name);
    const std::string bare = with(std::string(example_harness), each.danger);
    CHECK(severity_in(bare, each.rule, each.subject) == wanted);
    const std::string more = with(bare, each.added);
    INFO(more);
    CHECK(severity_in(more, each.rule, each.subject) == wanted);
    CHECK_FALSE(severity_in(with(more, each.mended), each.rule, each.subject) == wanted);
}

const std::string stop =
    "switch S8 \"emergency stop\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc, rest closed }\n"
    "load H9 { 48 V, 10 W, acts-as power, works 30..60 V }\n"
    "route X1 (W30 1 mm2, 0.3 m) S8 (W31 1 mm2, 0.3 m) H9 (W33 1 mm2, 0.3 m) Q1.P-\nsplice X1";
// The same with its contact in the way of the contactor's coil, so that it stops the drive.
const std::vector<Exchange> in_the_coil = {
    {"route X1 (W11 1 mm2, 0.4 m, orange) K1.A1\n", ""},
    {"S8 (W31 1 mm2, 0.3 m) H9", "S8 (W31 1 mm2, 0.3 m) K1.A1\nroute X1 (W34 1 mm2, 0.3 m) H9"}};

}  // namespace

TEST_CASE("a freewheel diode, or one across the rail, cuts nothing off") {
    const std::vector<Exchange> pump = {
        {"splice X1",
         "load E9 \"pump\" { 48 V, 6 A, acts-as current }\n"
         "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
         "route F1.out (W90 2.5 mm2, 0.1 m) F9 (W91 2.5 mm2, 0.3 m) E9 (W93 2.5 mm2, 0.3 m) Q1.P-\n"
         "splice X1"}};
    const std::vector<Exchange> switched = {
        {"F9 (W91", "F9 (W92 2.5 mm2, 0.1 m) S9 (W91"},
        {"load E9", "switch S9 { 80 V dc, carries 16 A, makes 16 A, breaks 16 A at 60 V dc }\nload E9"}};
    try_case({"freewheel",
              "no-disconnect",
              "E9",
              pump,
              {{"splice X1",
                "diode D8 { 10 A, 200 V, drop 0.8 V }\n"
                "route E9.- (W94 2.5 mm2, 0.1 m) D8 (W95 2.5 mm2, 0.1 m) E9.+\nsplice X1"}},
              switched});
    try_case({"rail",
              "no-disconnect",
              "E9",
              pump,
              {{"splice X1",
                "diode D8 { 10 A, 200 V, drop 0.8 V }\n"
                "route Q1.P- (W94 10 mm2, 0.1 m) D8 (W95 10 mm2, 0.1 m) F1.out\nsplice X1"}},
              switched});
    // A pack feeds through one in its way.
    try_case(
        {"in line",
         "no-disconnect",
         "E9",
         pump,
         {{"F9 (W91", "F9 (W92 2.5 mm2, 0.1 m) D8 (W91"},
          {"load E9", "diode D8 { 10 A, 200 V, drop 0.8 V }\nload E9"}},
         {{"D8 (W91", "D8 (W96 2.5 mm2, 0.1 m) S9 (W91"},
          {"load E9", "switch S9 { 80 V dc, carries 16 A, makes 16 A, breaks 16 A at 60 V dc }\nload E9"}}});
    // Without a contactor the plug alone parts the drive, with a diode across it or without.
    try_case(
        {"plug alone",
         "no-load-break",
         "U1",
         {{"F1 (W2 16 mm2, 0.2 m, red) K1 (W3 16 mm2, 0.8 m, red) J1.1", "F1 (W2 16 mm2, 0.2 m, red) J1.1"},
          {"R7 (direct) K1.out", "R7 (direct) J1.1"}},
         {{"splice X1",
           "diode D8 { 100 A, 200 V, drop 0.8 V }\n"
           "route U1.- (W94 10 mm2, 0.1 m) D8 (W95 10 mm2, 0.1 m) U1.+\nsplice X1"}},
         {{"F1 (W2 16 mm2, 0.2 m, red) J1.1", "F1 (W2 16 mm2, 0.2 m, red) K1 (W3 16 mm2, 0.8 m, red) J1.1"}}},
        Severity::warning);
}

TEST_CASE("a diode from the pack round a contactor bridges it, one that gives back does not") {
    try_case({"diode",
              "bridged-contact",
              "K1",
              {{"splice X1", "route K1.in (W30 16 mm2, 0.2 m) K1.out\nsplice X1"}},
              {{"route K1.in (W30 16 mm2, 0.2 m) K1.out",
                "diode D9 { 200 A, 400 V, drop 0.8 V }\nroute K1.in (W30 16 mm2, 0.2 m) D9.A\n"
                "route D9.K (W31 16 mm2, 0.2 m) K1.out"}},
              {{"route K1.in (W30 16 mm2, 0.2 m) D9.A\nroute D9.K (W31 16 mm2, 0.2 m) K1.out",
                "route K1.in (W30 16 mm2, 0.2 m) D9.K\nroute D9.A (W31 16 mm2, 0.2 m) K1.out"}}});
}

TEST_CASE("electronics that never open guard no wire") {
    try_case({"breaks none",
              "unprotected-wire",
              "W91",
              {{"splice X1",
                "load E9 { 48 V, 5 A }\n"
                "switch S9 { 80 V dc, carries 10 A, makes 60 A, breaks 10 A at 60 V dc }\n"
                "route B1.+ (W90 4 mm2, 0.15 m) X9 (W91 4 mm2, 1 m) S9.in\n"
                "route S9.out (W92 4 mm2, 1 m) E9 (W93 25 mm2, 1 m) Q1.P-\nsplice X9\nsplice X1"}},
              {{"X9 (W91", "P9 (W91"},
               {"splice X9",
                "protector P9 { 20 A, 80 V dc, trips 25 A after 1 s, breaks none, resistance 1 mohm, reset "
                "hand }"}},
              {{"breaks none", "breaks 4 kA at 80 V dc"}}});
    // A short behind it is judged as if it were not there.
    const std::vector<Exchange> slow = {
        {"trips 120 A after 1 s", "trips 5 kA after 1 s"},
        {"breaks 2.5 kA at 80 V dc, curve iso8820-5 }",
         "breaks 2.5 kA at 80 V dc, point 90 A 1000 s, point 200 A 100 s, point 1.0 kA 8 s, point 2.5 kA 4 s "
         "}"},
        {"takes 10..16 mm2", "takes 10..50 mm2"},
        {"(W1 16 mm2", "(W1 50 mm2"},
        {"(W2 16 mm2", "(W2 50 mm2"},
        {"(W3 16 mm2", "(W3 50 mm2"},
        {"(W4 16 mm2", "(W4 50 mm2"},
        {"(W5 16 mm2", "(W5 50 mm2"},
        {"(W6 16 mm2", "(W6 50 mm2"},
        {"(W7 16 mm2", "(W7 50 mm2"},
        {"splice X1",
         "load E9 { 48 V, 10 A }\nswitch S9 { 80 V dc, carries 100 A, makes 100 A, breaks 100 A at 60 V dc "
         "}\n"
         "route K1.out (W80 16 mm2, 0.5 m) S9 (W82 16 mm2, 0.5 m) E9 (W81 16 mm2, 1 m) Q1.P-\nsplice X1"}};
    try_case({"behind a fuse",
              "slow-clearing",
              "",
              slow,
              {{"K1.out (W80", "K1.out (W83 50 mm2, 0.1 m) P9 (W80"},
               {"load E9",
                "protector P9 { 100 A, 80 V dc, trips 120 A after 1 s, breaks none, resistance 1 mohm, reset "
                "hand }\nload E9"}},
              {{"trips 120 A after 1 s, breaks none", "trips 120 A after 1 ms, breaks 4 kA at 80 V dc"}}});
}

TEST_CASE("what goes on giving a little leaves no short circuit unjudged") {
    const std::string camper =
        "loom 1\nharness \"Camper corner\" { ambient 0..40 degC, insulation pvc 70 degC }\n"
        "pack B1 { voltage 11..14.4 V, resistance 5 mohm, capacity 100 Ah, discharge 100 A, charge 30 A }\n"
        "fuse F1 { 60 A, 32 V dc, breaks 5 kA at 32 V dc, point 90 A 1000 s, point 200 A 100 s, point 600 A "
        "20 s, point 2.0 kA 10 s }\n"
        "switch S1 \"main switch\" { 32 V dc, carries 150 A, makes 150 A, breaks 100 A at 32 V dc }\n"
        "busbar X1 { studs 8, carries 150 A }\nbusbar X2 { studs 8, carries 150 A }\n"
        "switch S2 { 32 V dc, carries 100 A, makes 100 A, breaks 50 A at 32 V dc }\n"
        "load E1 \"water heater\" { 12 V, 20 A, acts-as current }\n"
        "route B1.+ (W1 50 mm2, 0.1 m) F1 (W2 50 mm2, 0.5 m) S1 (W3 50 mm2, 0.5 m) X1.1\n"
        "route B1.- (W4 50 mm2, 0.5 m) X2.1\n"
        "route X1.2 (W5 16 mm2, 0.5 m) S2 (W6 16 mm2, 1 m) E1 (W7 16 mm2, 1 m) X2.2\n"
        "mode off { others at rest }\nmode on { others at rest, S1 S2 closed }\n";
    CHECK(severity_in(camper, "slow-clearing", "") == Severity::error);
    const std::string charger =
        "charger G1 { output 14.4 V 10 A, reverse blocked }\n"
        "route G1.+ (W10 16 mm2, 0.3 m) X1.3\nroute G1.- (W11 16 mm2, 0.3 m) X2.3\n";
    CHECK(severity_in(camper + charger, "slow-clearing", "") == Severity::error);
    const std::string lamp =
        "resistor R9 { 1 kohm, 2 W }\nroute F1.in (W12 16 mm2, 0.1 m) R9 (W13 16 mm2, 0.1 m) F1.out\n";
    CHECK(severity_in(camper + lamp, "slow-clearing", "") == Severity::error);
    CHECK_FALSE(severity_in(with(camper + charger, {{"point 600 A 20 s, point 2.0 kA 10 s",
                                                     "point 600 A 0.1 s, point 2.0 kA 1 ms"}}),
                            "slow-clearing", "") == Severity::error);
}

TEST_CASE("a stop that stops nothing is told, whatever else is in reach and however it is called") {
    const std::vector<Exchange> idle = {{"splice X1", stop}};
    try_case({"hand", "idle-stop", "S8", idle, {{"connector J1 {", "connector J1 { hand,"}}, in_the_coil});
    try_case({"with lamp",
              "idle-stop",
              "S8",
              idle,
              {{"\"emergency stop\"", "\"emergency stop with lamp\""}},
              in_the_coil});
    try_case({"rear end",
              "idle-stop",
              "S8",
              idle,
              {{"\"emergency stop\"", "\"emergency stop, rear end\""}},
              in_the_coil});
    try_case({"another stop",
              "idle-stop",
              "S8",
              idle,
              {{"switch S1 { 80 V dc", "switch S1 { stop, 80 V dc"}},
              in_the_coil});
    const std::string switch_words =
        "switch S8 \"emergency stop\" { 80 V dc, carries 5 A, breaks 2 A at "
        "60 V dc, rest closed }";
    try_case({"breaker",
              "idle-stop",
              "S8",
              idle,
              {{switch_words,
                "breaker S8 \"emergency stop\" { 5 A, 80 V dc, breaks 6 kA at 80 V dc, curve iec60898-c, "
                "reset hand }"}},
              in_the_coil});
    const std::string selected = with(
        with(std::string(example_harness), idle),
        {{switch_words,
          "selector S8 \"emergency stop\" { terminals 1 2, position run 1 2, position off, 80 V dc, carries "
          "5 A, breaks 2 A at 60 V dc }"},
         {"S8 (W31", "S8.1>2 (W31"}});
    CHECK(severity_in(selected, "idle-stop", "S8") == Severity::error);
    // A contact for the lamp of the stop, and one at the end of a way, are none.
    for (const std::string label : {"stop lamp", "end stop", "limit switch, emergency"})
        CHECK_FALSE(told(with(with(std::string(example_harness), idle), {{"emergency stop", label}}),
                         "idle-stop", "S8"));
    // A winch that stalls is no lamp.
    try_case(
        {"task",
         "idle-stop",
         "S8",
         {{"splice X1",
           "switch S8 \"emergency stop\" { 80 V dc, carries 60 A, breaks 60 A at 60 V dc, rest closed }\n"
           "load H9 \"winch\" { 48 V, 300 W, acts-as power, works 30..60 V, stall 30 A }\n"
           "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
           "switch S9 { 80 V dc, carries 60 A, makes 60 A, breaks 60 A at 60 V dc }\n"
           "route F1.out (W30 2.5 mm2, 0.1 m) F9 (W36 2.5 mm2, 0.3 m) S9 (W31 2.5 mm2, 0.3 m) H9 "
           "(W33 2.5 mm2, 0.3 m) Q1.P-\nsplice X1"},
          {"(W11 1 mm2, 0.4 m, orange) K1.A1", "(W11 1 mm2, 0.4 m, orange) S8 (W37 1 mm2, 0.3 m) K1.A1"},
          {"K1 S1 closed, U1 draws", "K1 S1 S9 closed, U1 draws"}},
         {{"stall 30 A }", "stall 30 A, task lights }"}},
         {{"load H9 \"winch\"", "load H9 \"row of lamps\""}}});
}

TEST_CASE("an isolator is closed before what a coil closes") {
    const std::vector<Exchange> bare = {
        {"route F1.out (direct) F7 (W24 1 mm2, 0.5 m, red) S7 (W23 1 mm2, 0.4 m, red) R7 (direct) K1.out\n",
         ""},
        {"fuse F7 { 3 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n", ""},
        {"switch S7 \"precharge\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n", ""},
        {"resistor R7 { 68 ohm, 10 W, pulse 20 J }\n", ""},
        {"mode ready { others at rest, S7 closed }\n", ""},
        {"after ready 3 s, ", ""}};
    try_case({"isolator",
              "no-precharge",
              "K1",
              bare,
              {{"F1 (W2 16 mm2, 0.2 m, red) K1", "F1 (W2 16 mm2, 0.1 m, red) S9 (W34 16 mm2, 0.1 m, red) K1"},
               {"K1 S1 closed, U1 draws", "K1 S1 S9 closed, U1 draws"},
               {"splice X1",
                "switch S9 \"isolator\" { 80 V dc, carries 100 A, makes 6 kA, breaks 100 A at 60 V dc }\n"
                "splice X1"}},
              {{"makes 60 A, breaks 100 A", "makes 6 kA, breaks 100 A"}}});
}

TEST_CASE("a selector without a position off, and a relay whose coil nobody wired, cut nothing off") {
    const std::vector<Exchange> direct = {
        {"F2 (W9 1 mm2, 0.5 m, red) S1 (W10 1 mm2, 1 m, red) X1", "F2 (W9 1 mm2, 0.5 m, red) X1"},
        {"switch S1 {", "switch S9 {"},
        {"route X1 (W11 1 mm2, 0.4 m, orange) K1.A1",
         "route X1 (W11 1 mm2, 0.4 m, orange) S9 (W81 1 mm2, 0.4 m) K1.A1"},
        {"K1 S1 closed, U1 draws", "K1 S9 closed, U1 draws"}};
    try_case({"selector",
              "no-disconnect",
              "D1",
              direct,
              {{"F2 (W9 1 mm2, 0.5 m, red) X1", "F2 (W9 1 mm2, 0.5 m, red) S8.a>b (W91 1 mm2, 0.5 m) X1"},
               {"splice X1",
                "selector S8 { terminals a b c, position one a b, position two a b c, 80 V dc, carries 5 A, "
                "breaks 2 A at 60 V dc, spare c }\nsplice X1"}},
              {{"position two a b c", "position two b c"}}});
    try_case({"relay",
              "no-disconnect",
              "D1",
              direct,
              {{"F2 (W9 1 mm2, 0.5 m, red) X1", "F2 (W9 1 mm2, 0.5 m, red) K8 (W91 1 mm2, 0.5 m) X1"},
               {"splice X1",
                "relay K8 { contacts nc, 80 V dc, carries 5 A, makes 5 A, breaks 2 A at 60 V dc, coil 48 V "
                "20 mA, suppression diode, spare A1 A2 }\nsplice X1"}},
              {{"contacts nc", "contacts no"}}});
}

TEST_CASE("a mode that says less than the print hides no overload") {
    // A charger gives a low pack all it can, whatever a mode says of it.
    const std::vector<Exchange> shore = {
        {"splice X1",
         "charger G9 { output 54.6 V 40 A, reverse blocked }\n"
         "fuse F9 { 50 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
         "route G9.+ (W90 16 mm2, 0.3 m) F9.out\nroute F9.in (W91 16 mm2, 0.1 m) F1.out\n"
         "route G9.- (W93 16 mm2, 0.3 m) Q1.P-\nmode shore { others at rest, G9 delivers limit }\nsplice "
         "X1"}};
    const std::string limit = with(std::string(example_harness), shore);
    CHECK(severity_in(limit, "overdrawn-pack", "B1") == Severity::error);
    const std::string less = with(limit, {{"delivers limit", "delivers 5 A"}});
    CHECK(severity_in(less, "setting-too-high", "G9") == Severity::error);
    CHECK_FALSE(severity_in(with(less, {{"54.6 V 40 A", "54.6 V 14 A"}}), "setting-too-high", "G9"));
    // A heater behind a fuse and switch of 10 A.
    const std::string heater =
        with(std::string(example_harness),
             {{"splice X1",
               "load E9 \"heater\" { 48 V, 800 W }\n"
               "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
               "switch S9 { 80 V dc, carries 10 A, makes 60 A, breaks 10 A at 60 V dc }\n"
               "route F1.out (W90 1.5 mm2, 0.1 m) F9 (W91 1.5 mm2, 0.3 m) S9 (W92 1.5 mm2, 0.3 m) E9 "
               "(W93 1.5 mm2, 0.3 m) Q1.P-\nmode warm { others at rest, S9 closed }\nsplice X1"}});
    CHECK(severity_in(heater, "overloaded-contact", "S9") == Severity::error);
    CHECK(severity_in(with(heater, {{"S9 closed }", "S9 closed, E9 draws 2 A }"}}), "in-no-mode", "") ==
          Severity::warning);
    CHECK(severity_in(with(heater, {{"800 W }", "800 W, rest off }"}}), "in-no-mode", "") == Severity::error);
    CHECK_FALSE(severity_in(with(heater, {{"S9 closed }", "S9 closed, E9 draws 2 A }"}, {"800 W", "380 W"}}),
                            "in-no-mode", ""));
}

TEST_CASE("a worse wire beyond the gates of the fuse hides no certain one") {
    const std::vector<Exchange> thin = {
        {"K1 S1 closed, U1 draws", "K1 S1 S9 closed, U1 draws"},
        {"splice X1",
         "fuse F9 { 25 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\nload E9 { 48 V, 10 W }\n"
         "switch S9 { 80 V dc, carries 30 A, makes 30 A, breaks 30 A at 60 V dc }\n"
         "route F1.out (W90 6 mm2, 0.1 m) F9 (W91 4 mm2, 0.2 m) S9 (W92 0.75 mm2, 8 m) E9 (W93 0.75 mm2, 8 "
         "m) Q1.P-\nsplice X1"}};
    try_case({"thinner",
              "slow-clearing",
              "",
              thin,
              {{"splice X1",
                "load E8 { 48 V, 10 W }\n"
                "route S9.out (W80 0.5 mm2, 0.5 m) E8 (W81 4 mm2, 0.5 m) Q1.P-\nsplice X1"}},
              {{"fuse F9 { 25 A", "fuse F9 { 3 A"}}});
}

TEST_CASE("a resistor of a tenth of a milliohm is a piece of wire, one of an ohm is none") {
    // Round a contactor, and round the management.
    try_case({"contactor",
              "bridged-contact",
              "K1",
              {{"splice X1", "route K1.in (W30 16 mm2, 0.2 m) K1.out\nsplice X1"}},
              {{"route K1.in (W30 16 mm2, 0.2 m) K1.out",
                "resistor R9 { 0.1 mohm, 25 W }\n"
                "route K1.in (W30 16 mm2, 0.2 m) R9 (W31 16 mm2, 0.2 m) K1.out"}},
              {{"0.1 mohm, 25 W", "1 ohm, 5 kW"}}});
    try_case({"management",
              "past-bms",
              "",
              {{"splice X1",
                "charger G9 { output 54.6 V 5 A, reverse blocked }\nshunt R9 { 500 A, drop 50 mV }\n"
                "fuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                "route F1.out (direct) F9 (W30 2.5 mm2, 0.5 m) G9 (W31 2.5 mm2, 0.5 m) R9.in\n"
                "route R9.out (W32 2.5 mm2, 0.5 m) Q1.B-\nsplice X1"}},
              {{"shunt R9 { 500 A, drop 50 mV }", "resistor R9 { 0.1 mohm, 25 W }"}},
              {{"(W32 2.5 mm2, 0.5 m) Q1.B-", "(W32 2.5 mm2, 0.5 m) Q1.P-"}}});
    // Its own heat counts as that of any: 35 A through 5 mohm are 6 W.
    const auto in_line = [](std::string_view watts) {
        return severity_in(
            with(std::string(example_harness),
                 {{"K1 (W3 16 mm2", "K1 (W30 16 mm2, 0.1 m) R9 (W3 16 mm2"},
                  {"R7 (direct) K1.out", "R7 (direct) R9.out"},
                  {"splice X1", "resistor R9 { 5 mohm, " + std::string(watts) + " }\nsplice X1"}}),
            "overloaded-resistor", "R9");
    };
    CHECK(in_line("6 W") == Severity::error);
    CHECK_FALSE(in_line("9 W"));
}

TEST_CASE("a pack that lifts lithium cells above full overcharges them as a charger does") {
    const auto beside = [](std::string_view cells, std::string_view name) {
        return severity_in(
            with(std::string(example_harness),
                 {{"splice X1",
                   "pack B8 \"spare\" { " + std::string(cells) +
                       ", cell-resistance 20 mohm, cell-capacity 3 Ah, discharge 60 A, charge 15 A }\n"
                       "bms Q8 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, "
                       "resistance 1 mohm }\nfuse F8 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve "
                       "iso8820-5 }\nswitch S8 { 80 V dc, carries 100 A, makes 900 A, breaks 100 A at 60 V "
                       "dc }\n"
                       "route B8.+ (W80 16 mm2, 0.1 m) F8 (W81 16 mm2, 0.2 m) S8 (W82 16 mm2, 0.2 m) F1.out\n"
                       "route B8.- (W83 16 mm2, 0.1 m) Q8 (W84 16 mm2, 0.2 m) Q1.P-\n"
                       "mode both { like ready, S8 closed }\nsplice X1"},
                  {"pack B1 {", "pack B1 " + std::string(name) + "{"}}),
            "joined-packs", "");
    };
    // 58.4 V onto 13 cells of 4.2 V, full at 54.6 V; and as many of the same.
    CHECK(beside("cells 16s6p, cell-voltage 2.8..3.65 V", "") == Severity::error);
    CHECK_FALSE(beside("cells 13s6p, cell-voltage 3.0..4.2 V", "") == Severity::error);
}

TEST_CASE("a part on the shelf floats nowhere, a lamp across a fuse lights when that is gone") {
    const std::string example(example_harness);
    const std::string shelf = "load E9 { 48 V, 5 W, spare + - }\nsplice X1";
    CHECK_FALSE(told(with(example, {{"splice X1", shelf}}), "floating"));
    CHECK(
        told(with(example, {{"splice X1", "load E9 { 48 V, 5 W, spare + }\nsplice X1"}}), "floating", "E9"));
    const std::string pilot =
        with(example, {{"splice X1",
                        "load E9 { 48 V, 1 W }\nroute F1.in (W30 1 mm2, 0.1 m) E9 (W31 1 mm2, 0.1 m) F1.out\n"
                        "splice X1"}});
    CHECK_FALSE(told(pilot, "floating"));
    CHECK(told(with(pilot, {{"E9 (W31 1 mm2, 0.1 m) F1.out", "E9 (W31 1 mm2, 0.1 m) F1.in"}}), "floating",
               "E9"));
}

}  // namespace nothing_turns_green_test
