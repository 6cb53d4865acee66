// Contactors whose coils wait for their own contacts.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

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

std::string message(const Results& results, std::string_view part) {
    const Finding* finding = finding_of(results, "never-pulls-in", part);
    if (!finding) return "";
    CHECK(finding->severity == Severity::error);
    CHECK_FALSE(finding->mode.valid());
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
