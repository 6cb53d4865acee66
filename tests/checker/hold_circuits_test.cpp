// Relays that hold themselves in: behind a stop that lets them go, or past it.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace hold_circuits_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::optional<Severity> held(const Results& results) {
    for (const Finding& finding : results.findings)
        if (finding.rule == "held-coil" && !finding.accepted) return finding.severity;
    return std::nullopt;
}

const std::string supply =
    "loom 1\nharness \"log splitter\" { ambient 0..35 degC, insulation pvc 90 degC }\n"
    "pack B1 { voltage 40..54.6 V, resistance 20..30 mohm, capacity 60 Ah, discharge 80 A, charge 20 A }\n"
    "fuse F1 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
    "fuse F2 { 3 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }\n"
    "contactor K1 { carries 100 A, makes 300 A, breaks 150 A at 60 V dc, resistance 0.3 mohm\n"
    "  coil 48 V 200 mA, coil-works 30..60 V, suppression diode }\n"
    "part push is switch { 72 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
    "switch S1 \"start\" is push\nswitch S2 \"stop\" is push { rest closed }\n"
    "load M1 { 48 V, 40 A, acts-as current, works 30..60 V }\nbusbar X4 { studs 5, carries 100 A }\n"
    "stud X1\nstud X2\nstud X3\n";

// One relay of one pole holds itself and the contactor in. `hold` is where its contact takes its plus: X1
// before the stop, X2 behind it. With `isolator` all of it stands behind a main switch.
Results with_relay(const std::string& hold, bool isolator, bool stop_in_minus = false) {
    const std::string first = isolator ? "S9 (W40 16 mm2, 0.2 m, red) F1" : "F1";
    const std::string on = isolator ? "S9 " : "";
    return check_text(
        supply +
        (isolator ? "switch S9 { 80 V dc, carries 100 A, makes 300 A, breaks 100 A at 60 V dc }\n" : "") +
        "relay K2 { contacts no, carries 5 A, breaks 2 A at 60 V dc\n"
        "  coil 48 V 20 mA, coil-works 30..60 V, suppression diode }\n"
        "route B1.+ (W1 16 mm2, 0.12 m, red) " +
        first +
        " (W2 16 mm2, 0.4 m, red) K1 (W3 16 mm2, 0.6 m, red) M1 (W4 16 mm2, 0.8 m, black) X4.1\n"
        "route B1.- (W5 16 mm2, 0.3 m, black) X4.2\n"
        "route F1.out (W6 1 mm2, 0.1 m, red) F2 (W7 1 mm2, 0.3 m, red) X1\n" +
        (stop_in_minus ? "route X1 (W8 1 mm2, 0.6 m, red) X2\nstud X5\n"
                         "route X5 (W41 1 mm2, 0.3 m, black) S2 (W42 1 mm2, 0.3 m, black) X4.3\n"
                       : "route X1 (W8 1 mm2, 0.6 m, red) S2 (W9 1 mm2, 0.2 m, orange) X2\n") +
        "route X2 (W10 1 mm2, 0.2 m, orange) S1 (W11 1 mm2, 0.4 m, orange) X3\nroute " + hold +
        " (W12 1 mm2, 0.2 m, orange) K2 (W13 1 mm2, 0.2 m, orange) X3\n"
        "route X3 (W14 1 mm2, 0.3 m, orange) K1.A1\nroute X3 (W15 1 mm2, 0.2 m, orange) K2.A1\n" +
        (stop_in_minus
             ? "route K1.A2 (W16 1 mm2, 0.4 m, black) X5\nroute K2.A2 (W17 1 mm2, 0.3 m, black) X5\n"
             : "route K1.A2 (W16 1 mm2, 0.4 m, black) X4.3\nroute K2.A2 (W17 1 mm2, 0.3 m, black) "
               "X4.4\n") +
        "mode off { others at rest }\nmode start { " + on +
        "S1 closed, K1 closed, K2 energised, others at rest }\nmode run { " +
        (isolator ? "S9 closed, " : "") + "K1 closed, K2 energised, others at rest }\nmode struck { " +
        (isolator ? "S9 closed, " : "") + "S2 open, others at rest }\n");
}

// The contactor holds itself in from behind its own contact. `coil`: from X3, where push and hold contact
// meet, to the coil and home.
Results seals_itself(const std::string& coil, const std::string& run) {
    return check_text(
        supply +
        "switch S9 { 80 V dc, carries 100 A, makes 300 A, breaks 100 A at 60 V dc, rest closed }\n"
        "route B1.+ (W1 16 mm2, 0.12 m, red) F1 (W2 16 mm2, 0.3 m, red) S9 (W3 16 mm2, 0.3 m, red) "
        "X1\n"
        "route X1 (W4 16 mm2, 0.4 m, red) K1 (W5 16 mm2, 0.6 m, red) X2\n"
        "route X2 (W6 16 mm2, 0.6 m, red) M1 (W7 16 mm2, 0.8 m, black) X4.1\n"
        "route B1.- (W8 16 mm2, 0.3 m, black) X4.2\n"
        "route X1 (W9 1 mm2, 0.1 m, red) F2 (W10 1 mm2, 0.3 m, red) S1 (W11 1 mm2, 0.3 m) X3\n"
        "fuse F3 { 3 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }\n"
        "route X2 (W12 1 mm2, 0.1 m, red) F3 (W13 1 mm2, 0.3 m) X3\n" +
        coil + "mode off { others at rest }\nmode start { S1 closed, K1 closed, others at rest }\n" + run);
}
// Everything runs over the stop.
Results no_volt_release(const std::string& run) {
    return seals_itself(
        "route X3 (W14 1 mm2, 0.3 m) S2 (W15 1 mm2, 0.3 m) K1.A1\nroute K1.A2 (W16 1 mm2, 0.4 m, black) "
        "X4.3\n",
        run);
}
// Without a stop in the coil's lead: the main switch alone lets it go.
Results main_alone(const std::string& run) {
    return seals_itself(
        "route X3 (W14 1 mm2, 0.3 m) K1.A1\nroute K1.A2 (W16 1 mm2, 0.4 m, black) X4.3\n"
        "route X4.4 (W17 1 mm2, 0.1 m) S2 (W18 1 mm2, 0.1 m) X4.5\n",
        run);
}

}  // namespace

TEST_CASE("a hold contact behind the stop is no fault; one before it is") {
    CHECK(held(with_relay("X2", false)) == std::nullopt);
    CHECK(held(with_relay("X1", false)) == Severity::error);
}

TEST_CASE("a main switch before all of it makes a stop that is passed by no better") {
    CHECK(held(with_relay("X2", true)) == std::nullopt);
    CHECK(held(with_relay("X1", true)) == Severity::error);
}

TEST_CASE("a stop in the return of the coils lets them go wherever the hold contact takes its plus") {
    CHECK(held(with_relay("X2", false, true)) == std::nullopt);
    CHECK(held(with_relay("X1", false, true)) == std::nullopt);
}

TEST_CASE("a contactor that holds itself in behind a stop in its coil's lead is let go by it") {
    CHECK(held(no_volt_release("mode run { K1 closed, others at rest }\n")) == std::nullopt);
}

TEST_CASE("a contactor that only the main switch lets go is held on purpose where a mode says so") {
    CHECK(held(main_alone("mode run { K1 closed, others at rest }\n")) == std::nullopt);
    // Nobody says that it stays in with the push let go: the seal may be a mistake.
    CHECK(held(main_alone("")) == Severity::error);
}

TEST_CASE("a contactor that nothing lets go is an error, whatever a mode says") {
    const Results results =
        check_text(supply +
                   "route B1.+ (W1 16 mm2, 0.12 m, red) F1 (W2 16 mm2, 0.3 m, red) X1\n"
                   "route X1 (W4 16 mm2, 0.4 m, red) K1 (W5 16 mm2, 0.6 m, red) X2\n"
                   "route X2 (W6 16 mm2, 0.6 m, red) M1 (W7 16 mm2, 0.8 m, black) X4.1\n"
                   "route B1.- (W8 16 mm2, 0.3 m, black) X4.2\n"
                   "route X1 (W9 1 mm2, 0.1 m, red) F2 (W10 1 mm2, 0.3 m, red) S1 (W11 1 mm2, 0.3 m) X3\n"
                   "fuse F3 { 3 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }\n"
                   "route X2 (W12 1 mm2, 0.1 m, red) F3 (W13 1 mm2, 0.3 m) X3\n"
                   "route X3 (W14 1 mm2, 0.3 m) K1.A1\nroute K1.A2 (W16 1 mm2, 0.4 m, black) X4.3\n"
                   "route X4.4 (W17 1 mm2, 0.1 m) S2 (W18 1 mm2, 0.1 m) X4.5\n"
                   "mode off { others at rest }\nmode start { S1 closed, K1 closed, others at rest }\n"
                   "mode run { K1 closed, others at rest }\n");
    CHECK(held(results) == Severity::error);
}

}  // namespace hold_circuits_test
