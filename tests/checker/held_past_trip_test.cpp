// A contactor that a battery management opens by the driver of its coil: whether anything else holds it.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace held_past_trip_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A lawn roller: U2 pulls the coil of K1 to minus; `more` is what lies beside that.
Results roller(const std::string& more, const std::string& modes, const std::string& latching = "",
               const std::string& drives = "drives K1, ") {
    return check_text(R"(loom 1
harness "Lawn roller" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 44..57.6 V, resistance 8..20 mohm, capacity 120 Ah, discharge 100 A, charge 30 A }
bms U2 { side high, )" +
                      drives + R"(discharge 60 A, charge 30 A, trips 150 A after 0.2 s
  pin supply supply 8 mA, pin minus return, pin coil low-side 0.6 A )" +
                      (drives.empty() ? ", ports common, resistance 1 mohm }\n" : "}\n") + R"(
fuse F1 { 80 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 2 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14, rated-at 25 degC }
contactor K1 { carries 100 A, makes 6 kA, breaks 8 kA at 80 V dc, coil 48 V 300 mA
  coil-works 36..62 V, suppression zener, opening-time 15 ms)" +
                      latching + R"( }
load M1 { 48 V, 30 A, acts-as current, works 40..60 V }
busbar X2 { studs 6, carries 150 A }
stud X1
switch S9 { 80 V dc, carries 80 A, makes 300 A, breaks 80 A at 60 V dc }
route B1.+ (W1 25 mm2, 0.1 m, red) F1 (W2 25 mm2, 0.1 m, red) K1 (W3 25 mm2, 0.3 m, red) S9 (W13 25 mm2, 0.1 m, red) M1 (W4 25 mm2, 0.4 m, black) X2.1
route B1.- (W5 25 mm2, 0.1 m, black) X2.2
route F1.out (direct) F2 (W6 0.75 mm2, 0.3 m, red) X1
route X1 (W7 0.75 mm2, 0.3 m, red) U2.supply
route U2.minus (W9 0.75 mm2, 0.3 m, black) X2.3
)" + more + modes);
}
const std::string straight =
    "route X1 (W8 0.75 mm2, 0.3 m, red) K1.A1\nroute K1.A2 (W10 0.75 mm2, 0.3 m, black) U2.coil\n";
const std::string key = "switch S3 { 80 V dc, carries 3 A, breaks 1 A at 60 V dc }\n";
const std::string past = "route K1.A2 (W11 0.75 mm2, 0.3 m, black) S3 (W12 0.75 mm2, 0.3 m, black) X2.4\n";
const std::string on = "mode on { others at rest, S9 closed, K1 closed, U2.coil on }\n";
const std::string with_key = "mode override { others at rest, S9 S3 closed, K1 closed, U2.coil on }\n";

}  // namespace

TEST_CASE("a key switch past the driver of a battery management holds the contactor when that trips") {
    const Results held = roller(straight + key + past, on + with_key);
    const Finding* finding = finding_of(held, "held-coil", "K1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "contactor K1 stays in when bms U2 trips: something else holds its coil");
    CHECK(held.harness->modes[finding->mode.index()].name == "override");
    // Never closed while the contactor is in; or in line with the driver, not past it.
    CHECK_FALSE(finding_of(roller(straight + key + past, on), "held-coil"));
    CHECK_FALSE(finding_of(
        roller(key + "route X1 (W8 0.75 mm2, 0.3 m, red) K1.A1\n"
                     "route K1.A2 (W10 0.75 mm2, 0.3 m, black) S3 (W11 0.75 mm2, 0.3 m, black) U2.coil\n",
               with_key),
        "held-coil"));
}

TEST_CASE("it holds with the driver off in that mode too, and without a word of what the part drives") {
    const std::string alone = "mode override { others at rest, S9 S3 closed, K1 closed }\n";
    CHECK(gravest_of(roller(straight + key + past, on + alone), "held-coil", "K1") == Severity::error);
}

TEST_CASE("a resistor past the driver holds the contactor from 10 % of the coil's voltage on") {
    // The coil has 48 V / 0.3 A = 160 ohm; of 57.6 V a tenth of 48 V stays across it behind 1760 ohm.
    const auto told = [](const std::string& ohm) {
        return gravest_of(
            roller("resistor R1 { " + ohm + ", 5 W, pulse 100 J }\n" + straight +
                       "route K1.A2 (W11 0.75 mm2, 0.3 m, black) R1 (W12 0.75 mm2, 0.3 m, black) "
                       "X2.4\n",
                   on),
            "held-coil", "K1");
    };
    CHECK(told("1.74 kohm") == Severity::warning);
    CHECK_FALSE(told("1.78 kohm"));
}

TEST_CASE("by way of a relay: what the driver lets go opens, what lies past the relay's contact holds") {
    const std::string relay =
        "relay K2 { contacts no, carries 5 A, makes 5 A, breaks 5 A at 60 V dc, coil 48 V 50 mA\n"
        "  coil-works 36..62 V, suppression diode }\n"
        "route X1 (W8 0.75 mm2, 0.3 m, red) K2.A1\nroute K2.A2 (W10 0.75 mm2, 0.3 m, black) U2.coil\n"
        "route X1 (W14 0.75 mm2, 0.3 m, red) K2 (W15 0.75 mm2, 0.3 m, red) K1.A1\n"
        "route K1.A2 (W16 0.75 mm2, 0.3 m, black) X2.5\n";
    const std::string energised =
        "mode on { others at rest, S9 closed, K1 closed, K2 energised, U2.coil on }\n";
    CHECK_FALSE(finding_of(roller(relay, energised), "held-coil"));
    const Results held = roller(
        relay + key + "route X1 (W11 0.75 mm2, 0.3 m, red) S3 (W12 0.75 mm2, 0.3 m, red) K1.A1\n",
        energised + "mode override { others at rest, S9 S3 closed, K1 closed, K2 energised, U2.coil on }\n");
    CHECK(gravest_of(held, "held-coil", "K1") == Severity::error);
}

TEST_CASE("a contactor that a management says it drives and none of its pins leads to stays in") {
    const std::string by_key =
                          "route X1 (W8 0.75 mm2, 0.3 m, red) K1.A1\n"
                          "route K1.A2 (W10 0.75 mm2, 0.3 m, black) S3 (W11 0.75 mm2, 0.3 m, black) X2.4\n",
                      lamp =
                          "load H1 { 48 V, 0.2 A, acts-as current }\n"
                          "route X1 (W14 0.75 mm2, 0.3 m, red) H1 (W15 0.75 mm2, 0.3 m, black) U2.coil\n";
    const Results held = roller(key + by_key + lamp, with_key);
    const Finding* finding = finding_of(held, "held-coil", "K1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->message == "contactor K1 stays in when bms U2 trips: its coil does not hang on it");
    CHECK_FALSE(finding_of(roller(straight + lamp, on), "held-coil"));
}

TEST_CASE(
    "a controller lets go of its own contactor, and not of one beside it on the bar behind the switch") {
    const auto mower = [](const std::string& second_coil, const std::string& also = "") {
        return check_text(
            R"(loom 1
harness "Reed cutter" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 44..57.6 V, resistance 8..20 mohm, capacity 120 Ah, discharge 100 A, charge 30 A }
fuse F1 { 80 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
switch S1 { 80 V dc, carries 100 A, makes 6 kA, breaks 100 A at 60 V dc }
switch S2 { 80 V dc, carries 3 A, breaks 1 A at 60 V dc }
contactor K1 { carries 100 A, makes 6 kA, breaks 100 A at 80 V dc, coil 48 V 300 mA, coil-works 36..62 V
  suppression zener }
contactor K2 { carries 100 A, makes 6 kA, breaks 100 A at 80 V dc, coil 48 V 300 mA, coil-works 36..62 V
  suppression zener }
controller U1 { input 30..60 V, capacitance 1 mF, phase-peak 60 A, phase-limit 100 % of phase-peak, supply-limit 50 % of phase-limit
  regen none
  standby 10 mA, pin key supply 20 mA, pin main low-side 1 A }
load M2 { 48 V, 20 A, acts-as current, works 40..60 V }
busbar X1 { studs 6, carries 150 A }
busbar X2 { studs 6, carries 150 A }
route B1.+ (W1 25 mm2, 0.1 m, red) F1 (W2 25 mm2, 0.1 m, red) S1 (W3 25 mm2, 0.3 m, red) X1.1
route B1.- (W4 25 mm2, 0.1 m, black) X2.1
route X1.2 (W5 25 mm2, 0.3 m, red) K1 (W6 25 mm2, 0.3 m, red) U1.+
route U1.- (W7 25 mm2, 0.3 m, black) X2.2
route X1.3 (W8 25 mm2, 0.3 m, red) K2 (W9 25 mm2, 0.3 m, red) M2 (W10 25 mm2, 0.3 m, black) X2.3
route X1.4 (W11 1 mm2, 0.3 m, red) U1.key
route X1.5 (W12 1 mm2, 0.3 m, red) K1.A1
route K1.A2 (W13 1 mm2, 0.3 m, blue) U1.main
route X1.6 (W14 1 mm2, 0.3 m, red) S2 (W15 1 mm2, 0.3 m, red) K2.A1
route K2.A2 (W16 1 mm2, 0.3 m, black) )" +
            second_coil + "\nmode mow { others at rest, " + also +
            "S1 closed, K1 closed, U1.main on, S2 closed, K2 closed }\n");
    };
    CHECK_FALSE(finding_of(mower("X2.4"), "held-coil"));
    // Both by the driver; and the second one held past it by a key.
    CHECK_FALSE(finding_of(mower("U1.main"), "held-coil"));
    CHECK(gravest_of(mower("U1.main\nswitch S3 { 80 V dc, carries 3 A, breaks 1 A at 60 V dc }\n"
                           "route K2.A2 (W17 1 mm2, 0.3 m, black) S3 (W18 1 mm2, 0.3 m, black) X2.4",
                           "S3 closed, "),
                     "held-coil", "K2") == Severity::note);
}

TEST_CASE("a battery management that opens a latching contactor is noted") {
    const Results latches = roller(straight, on, ", latching");
    const Finding* finding = finding_of(latches, "stays-latched", "K1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::note);
    CHECK(finding->message == "contactor K1 latches: a trip of bms U2 opens it by a pulse alone");
    CHECK_FALSE(finding_of(roller(straight, on), "stays-latched"));
}

}  // namespace held_past_trip_test
