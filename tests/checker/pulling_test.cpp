// Contactors whose coils wait for their own contacts.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace pulling_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A pump behind K1, a fan behind K2; `coils` feeds the coils from X1 (live), X2 (behind K1), X3 (behind K2).
Results mill(const std::string& coils, const std::string& modes = "mode off { others at rest }\n") {
    return check_text(
        "loom 1\nharness \"hand mill\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 20..29 V, resistance 20..30 mohm, capacity 40 Ah, discharge 60 A, charge 10 A }\n"
        "fuse F1 { 30 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
        "part power is contactor { carries 60 A, makes 80 A, breaks 60 A at 48 V dc\n"
        "  coil 24 V 250 mA, coil-works 15..30 V, suppression diode }\n"
        "contactor K1 is power\ncontactor K2 is power\nsplice X1\nsplice X2\nsplice X3\n"
        "part push is switch { 32 V dc, carries 5 A, breaks 2 A at 32 V dc }\nswitch S1 is push\n"
        "load M1 { 24 V, 100 W, works 15..30 V }\nload M2 { 24 V, 20 W, works 15..30 V }\n"
        "route B1.+ (W1 4 mm2, 0.1 m, red) F1 (W2 4 mm2, 0.1 m, red) X1\n"
        "route X1 (W3 4 mm2, 0.1 m, red) K1 (W4 4 mm2, 0.1 m, red) X2\n"
        "route X1 (W5 4 mm2, 0.1 m, red) K2 (W6 4 mm2, 0.1 m, red) X3\n"
        "route X2 (W7 4 mm2, 0.1 m, red) M1 (W8 4 mm2, 0.1 m, black) B1.-\n"
        "route X3 (W9 4 mm2, 0.1 m, red) M2 (W10 4 mm2, 0.1 m, black) B1.-\n"
        "route K1.A2 (W11 1 mm2, 0.1 m, black) B1.-\nroute K2.A2 (W12 1 mm2, 0.1 m, black) B1.-\n" +
        coils + modes);
}

std::string message(const Results& results, std::string_view part, bool in_a_mode = false) {
    const Finding* finding = finding_of(results, "never-pulls-in", part);
    if (!finding) return "";
    CHECK(finding->severity == Severity::error);
    CHECK(finding->mode.valid() == in_a_mode);
    return finding->message;
}

const std::string k2_live = "route X1 (W20 1 mm2, 0.1 m, red) K2.A1\n";
const std::string seal = "route X2 (W21 1 mm2, 0.1 m, orange) K1.A1\n";

}  // namespace

TEST_CASE("a coil fed from behind its own contact alone never pulls in, whatever the modes say") {
    const std::string told = "contactor K1 never pulls in: only its own contact feeds its coil";
    CHECK(message(mill(k2_live + seal), "K1") == told);
    CHECK(message(mill(k2_live + seal, "mode run { K1 K2 closed, others at rest }\n"), "K1") == told);
    CHECK(message(mill(k2_live + seal, ""), "K1") == told);
    // A switch in line with the seal is no way round it.
    CHECK(message(mill(k2_live + "route X2 (W21 1 mm2, 0.1 m) S1 (W22 1 mm2, 0.1 m) K1.A1\n"), "K1") == told);
    CHECK(message(mill(k2_live + seal), "K2").empty());
}

TEST_CASE("a start push around the contact is a way in, though no mode presses it") {
    const std::string start = "route X1 (W22 1 mm2, 0.1 m) S1 (W23 1 mm2, 0.1 m) K1.A1\n";
    CHECK(message(mill(k2_live + seal + start), "K1").empty());
    CHECK(message(mill(k2_live + seal + start, "mode run { K1 K2 closed, others at rest }\n"), "K1").empty());
}

TEST_CASE("a contact of another contactor is a way in where that one can come in") {
    const std::string over_k2 = seal + "route X3 (W22 1 mm2, 0.1 m) K1.A1\n";
    CHECK(message(mill(k2_live + over_k2), "K1").empty());
    // K2 waits for its own contact: K1 has its seal, which would hold it, and K2 besides.
    const Results both = mill(over_k2 + "route X3 (W23 1 mm2, 0.1 m) K2.A1\n");
    CHECK(message(both, "K1") == "contactor K1 never pulls in: only its own contact feeds its coil");
    CHECK(message(both, "K2") == "contactor K2 never pulls in: only its own contact feeds its coil");
}

TEST_CASE("two contactors that wait for each other never come in; one that waits for them is not told") {
    const std::string crossed =
        "route X2 (W22 1 mm2, 0.1 m) K2.A1\nroute X3 (W23 1 mm2, 0.1 m) K1.A1\n"
        "contactor K3 is power\nroute X2 (W24 1 mm2, 0.1 m) K3.A1\nroute K3.A2 (W25 1 mm2, 0.1 m) B1.-\n"
        "load E3 { 24 V, 5 W }\nroute X1 (W26 1 mm2, 0.1 m) K3 (W27 1 mm2, 0.1 m) E3 (W28 1 mm2, 0.1 m) "
        "B1.-\n";
    const Results results = mill(crossed);
    CHECK(message(results, "K1") == "contactor K1 never pulls in: only contacts of K1 and K2 feed its coil");
    CHECK(message(results, "K2") == "contactor K2 never pulls in: only contacts of K1 and K2 feed its coil");
    CHECK(message(results, "K3").empty());
    CHECK(message(mill(crossed + "route X1 (W30 1 mm2, 0.1 m) S1 (W31 1 mm2, 0.1 m) K2.A1\n"), "K1").empty());
}

TEST_CASE("a break contact of its own, a resistor across the contact, and no feed at all are no such thing") {
    // A buzzer: its own break contact feeds its coil.
    const Results buzzer = check_text(
        "loom 1\nharness \"hand mill\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 20..29 V, resistance 20..30 mohm, capacity 40 Ah, discharge 60 A, charge 10 A }\n"
        "fuse F1 { 3 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
        "relay K1 { contacts nc, carries 5 A, breaks 2 A at 60 V dc, coil 24 V 40 mA, suppression diode }\n"
        "route B1.+ (W1 1 mm2, 0.1 m) F1 (W2 1 mm2, 0.1 m) K1 (W3 1 mm2, 0.1 m) K1.A1\n"
        "route K1.A2 (W4 1 mm2, 0.1 m) B1.-\nmode off { others at rest }\n");
    CHECK(message(buzzer, "K1").empty());
    CHECK(message(mill(k2_live + seal +
                       "resistor R1 { 100 ohm, 10 W }\nroute X1 (W22 1 mm2, 0.1 m) R1 (W23 1 "
                       "mm2, 0.1 m) X2\n"),
                  "K1")
              .empty());
    CHECK(message(mill(k2_live), "K1").empty());
}

namespace {

// A winch on 48 V: K1 the main contactor, D1 its 12 V, U1 the drive that works K1 by a pin. `wiring` says
// where D1, U1's key and K1's coil get what they live on: X1 is live, X2 behind K1, X3 the 12 V, X4 the
// minus.
Results winch(const std::string& wiring, const std::string& modes = "mode off { others at rest }\n",
              const std::string& pin = "pin en supply 5 mA") {
    return check_text(
        "loom 1\nharness \"slipway winch\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 40..54 V, resistance 20..30 mohm, capacity 40 Ah, discharge 80 A, charge 10 A }\n"
        "fuse F1 { 60 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
        "contactor K1 { carries 100 A, makes 90 A, breaks 80 A at 60 V dc\n"
        "  coil 12 V 400 mA, coil-works 8..16 V, suppression diode }\n"
        "part push is switch { 60 V dc, carries 5 A, breaks 2 A at 60 V dc }\nswitch S1 is push\n"
        "switch S2 is push\n"
        "splice X1\nsplice X2\nsplice X3\nsplice X4\n"
        "converter D1 { input 30..60 V, output 12 V 5 A, efficiency 88 %, negative common, reverse "
        "blocked, " +
        pin +
        " }\n"
        "controller U1 { input 30..60 V, capacitance 1 mF, supply-limit 40 A, phase-peak 80 A, regen 5 A\n"
        "  pin key supply 20 mA, pin main low-side 1 A }\n"
        "motor M1 { leads 3, carries 90 A }\n"
        "route B1.+ (W1 10 mm2, 0.1 m, red) F1 (W2 10 mm2, 0.1 m, red) X1\n"
        "route X1 (W3 10 mm2, 0.1 m, red) K1 (W4 10 mm2, 0.1 m, red) X2\n"
        "route X2 (W5 10 mm2, 0.1 m, red) U1.+\nroute U1.- (W6 10 mm2, 0.1 m, black) X4\n"
        "route X4 (W7 10 mm2, 0.1 m, black) B1.-\nroute D1.in- (W8 1 mm2, 0.1 m, black) X4\n"
        "route D1.out+ (W9 1 mm2, 0.1 m, red) X3\n"
        "route U1.U (W10 6 mm2, 0.1 m) M1.U\nroute U1.V (W11 6 mm2, 0.1 m) M1.V\nroute U1.W (W12 6 mm2, 0.1 "
        "m) M1.W\n" +
        wiring + modes);
}

const std::string coil_on_12 =
    "route X3 (W20 1 mm2, 0.1 m) S1 (W21 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W22 1 mm2, 0.1 m) X4\n";
const std::string key_live = "route X1 (W23 1 mm2, 0.1 m) S2 (W24 1 mm2, 0.1 m) U1.key\n";

std::string in_from(const std::string& point) {
    return "route " + point + " (W25 1 mm2, 0.1 m, red) D1.in+\n";
}
std::string en_from(const std::string& point) {
    return "route " + point + " (W26 1 mm2, 0.1 m, orange) D1.en\n";
}

}  // namespace

TEST_CASE(
    "a converter behind the contactor whose coil it feeds never starts; the contactor is told with it") {
    const Results waits = winch(coil_on_12 + key_live + in_from("X2") + en_from("X2"));
    CHECK(message(waits, "D1") == "converter D1 never starts: only K1 leads to its supply");
    CHECK(message(waits, "K1").empty());
    CHECK_FALSE(finding_of(winch(coil_on_12 + key_live + in_from("X1") + en_from("X1")), "never-pulls-in"));
    // A push around the contact starts it, and so does a resistor across it.
    for (const std::string round : {"(W30 1 mm2, 0.1 m) S9", "(W30 1 mm2, 0.1 m) R9"})
        CHECK_FALSE(finding_of(winch(coil_on_12 + key_live + in_from("X2") + en_from("X2") +
                                     "switch S9 is push\nresistor R9 { 100 ohm, 50 W }\nroute X1 " + round +
                                     " (W31 1 mm2, 0.1 m) X2\n"),
                               "never-pulls-in"));
}

TEST_CASE("a converter whose enable hangs on its own output never starts") {
    const std::string coil = coil_on_12 + key_live + in_from("X1");
    CHECK(message(winch(coil + en_from("X3")), "D1") ==
          "converter D1 never starts: only its own output feeds its pin D1.en");
    CHECK_FALSE(finding_of(winch(coil + en_from("X1")), "never-pulls-in"));
    // Over the contact of what it feeds.
    CHECK(message(winch(coil + en_from("X2")), "D1") ==
          "converter D1 never starts: only K1 leads to its supply");
    // Two enables, of which one is fed from elsewhere: it may start by that.
    CHECK_FALSE(finding_of(winch(coil + en_from("X3") + "route X1 (W27 1 mm2, 0.1 m) D1.aux\n",
                                 "mode off { others at rest }\n", "pin en supply 5 mA, pin aux supply 5 mA"),
                           "never-pulls-in"));
}

TEST_CASE("a contactor whose driver lives behind its own contact never pulls in") {
    const std::string coil = in_from("X1") + en_from("X1") +
                             "route X3 (W20 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W22 1 mm2, 0.1 m) U1.main\n";
    CHECK(message(winch(coil + "route X2 (W23 1 mm2, 0.1 m) S2 (W24 1 mm2, 0.1 m) U1.key\n"), "K1") ==
          "contactor K1 never pulls in: only its own contact feeds its coil and U1");
    CHECK_FALSE(finding_of(winch(coil + key_live), "never-pulls-in"));
}

TEST_CASE("packs in series: what comes down through a load does not go up again") {
    const auto string = [](const std::string& from) {
        return check_text(
            "loom 1\nharness \"slipway winch\" { ambient 0..30 degC, insulation pvc 90 degC }\n"
            "part half is pack { voltage 20..27 V, resistance 20..30 mohm, capacity 40 Ah, discharge 80 A, "
            "charge 10 A }\n"
            "pack B1 is half\npack B2 is half\nswitch S9 { 60 V dc, carries 90 A, breaks none }\n"
            "fuse F1 { 60 A, 80 V dc, breaks 4 kA at 80 V dc, curve iso8820-5 }\n"
            "contactor K1 { carries 100 A, makes 90 A, breaks 80 A at 60 V dc\n"
            "  coil 48 V 100 mA, coil-works 30..60 V, suppression diode }\n"
            "load H1 { 48 V, 20 W, works 30..60 V }\nresistor R1 { 2 kohm, 5 W }\nsplice X1\nsplice X2\n"
            "splice X4\n"
            "route B1.+ (W1 10 mm2, 0.1 m, red) S9 (W2 10 mm2, 0.1 m, red) B2.-\n"
            "route B2.+ (W3 10 mm2, 0.1 m, red) F1 (W4 10 mm2, 0.1 m, red) X1\n"
            "route B1.- (W5 10 mm2, 0.1 m, black) X4\n"
            "route X1 (W6 1 mm2, 0.1 m) H1 (W7 1 mm2, 0.1 m) X4\n"
            "route X1 (W8 10 mm2, 0.1 m, red) K1 (W9 10 mm2, 0.1 m, red) X2\n"
            "route X2 (W10 1 mm2, 0.1 m) R1 (W11 1 mm2, 0.1 m) X4\nroute " +
            from +
            " (W12 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W13 1 mm2, 0.1 m) X4\nmode off { others at rest }\n");
    };
    CHECK(message(string("X2"), "K1") == "contactor K1 never pulls in: only its own contact feeds its coil");
    CHECK(message(string("X1"), "K1").empty());
}

TEST_CASE("a charger on a plug wakes a contactor only in modes that have the plug in") {
    const std::string pack =
        "connector J1 { mate P1, half socket, contacts + -, carries 20 A, 80 V, takes 1..6 mm2, rated-at 30 "
        "degC, limit 90 degC }\ncharger G1 { output 54 V 5 A, reverse blocked }\n"
        "route X2 (W40 2.5 mm2, 0.1 m) J1.+ (W41 2.5 mm2, 0.1 m) G1.+\n"
        "route X4 (W42 2.5 mm2, 0.1 m) J1.- (W43 2.5 mm2, 0.1 m) G1.-\n" +
        coil_on_12 + key_live + en_from("X1") + in_from("X2");
    const std::string charge = "mode charge { others at rest, S1 closed, K1 closed, G1 delivers 5 A }\n";
    CHECK_FALSE(finding_of(winch(pack, charge), "never-pulls-in"));
    const std::string go = "K1 closed, S1 closed, others at rest }\n";
    const Results apart = winch(pack, charge + "mode go { J1 unmated, " + go);
    const Finding* told = finding_of(apart, "never-pulls-in");
    REQUIRE(told);
    CHECK(told->mode.valid());
    CHECK(told->subject == "D1");
    // Entered from the mode in which the charger was there: it holds.
    CHECK_FALSE(
        finding_of(winch(pack, charge + "mode go { J1 unmated, after charge 5 s, " + go), "never-pulls-in"));
    // The same without a plug: it gives nothing in that mode.
    const std::string wired =
        "charger G1 { output 54 V 5 A, reverse blocked }\nroute X2 (W40 2.5 mm2, 0.1 m) G1.+\n"
        "route G1.- (W42 2.5 mm2, 0.1 m) X4\n" +
        coil_on_12 + key_live + en_from("X1") + in_from("X2");
    const Results resting = winch(wired, charge + "mode go { " + go);
    CHECK(message(resting, "D1", true) ==
          "converter D1 cannot start in mode go: only K1 leads to its supply");
    CHECK_FALSE(finding_of(winch(wired, charge), "never-pulls-in"));
}

}  // namespace pulling_test
