// What a change-over puts onto what: capacitors that one source has charged onto another, or onto a rail that
// stands less; and machines that drive with the charge lead in.
#include <algorithm>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/told.hpp"

namespace changed_over_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A launch whose controller a selector puts on one of two packs, 39 V to 54.6 V; `volts` of the second.
std::string launch(std::string_view volts, std::string_view capacitance = "15 mF",
                   std::string_view between = "") {
    return R"(loom 1
harness "Launch with two packs" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 39..54.6 V, resistance 20..30 mohm, capacity 40 Ah, discharge 100 A, charge 40 A }
pack B2 { voltage )" +
           std::string(volts) + R"(, resistance 20..30 mohm, capacity 40 Ah, discharge 100 A, charge 40 A }
part main is fuse { 60 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }
fuse F1 is main
fuse F2 is main
selector S1 { terminals com a b, position off, position port com a, position starboard com b, 80 V dc
  carries 100 A, makes 100 A, breaks 100 A at 60 V dc }
controller U1 { input 30..60 V, capacitance )" +
           std::string(capacitance) +
           R"(, phase-peak 70 A, supply-limit 40 A, regen none, precharges key 68 ohm, pin key supply 40 mA }
motor M1 { leads 3, carries 90 A }
switch S2 "key" { 80 V dc, carries 6 A, makes 6 A, breaks 2 A at 60 V dc }
fuse F3 { 3 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
busbar X2 { studs 4, carries 150 A }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1.a
route B2.+ (W3 16 mm2, 0.1 m, red) F2 (W4 16 mm2, 0.3 m, red) S1.b
route B1.- (W5 16 mm2, 0.2 m, black) X2.1
route B2.- (W6 16 mm2, 0.2 m, black) X2.2
route S1.com (W7 16 mm2, 0.6 m, red) U1.+
route U1.- (W8 16 mm2, 0.6 m, black) X2.3
route F1.out (direct) F3 (W9 1 mm2, 1 m, red) S2 (W10 1 mm2, 1 m, orange) U1.key
route U1.U (W20 10 mm2, 0.5 m) M1.U
route U1.V (W21 10 mm2, 0.5 m) M1.V
route U1.W (W22 10 mm2, 0.5 m) M1.W
mode moored { others at rest }
mode key { others at rest, S2 closed }
mode port { others at rest, after key 10 s, S2 closed, S1 at port, U1 draws 20 A, U1 phases 40 A }
)" + std::string(between) +
           "mode starboard { others at rest, after " + (between.empty() ? "port" : "let") +
           " 60 s, S2 closed, S1 at starboard, U1 draws 20 A, U1 phases 40 A }\n";
}

}  // namespace

TEST_CASE("a selector that moves charged capacitors from a full pack to an empty one is told") {
    const Told over = told(launch("39..54.6 V"), "no-precharge", "S1");
    REQUIRE(over);
    CHECK(over.finding->severity == Severity::error);
    // 15 mF from 54.6 V to 39 V: C dU^2 / 2.
    CHECK(figure(*over.finding, "energy") == Approx(15e-3 * 15.6 * 15.6 / 2).epsilon(0.02));
    const auto said = [&](const Told& told, std::string_view line) {
        const auto& working = told.finding->working;
        return std::find(working.begin(), working.end(), line) != working.end();
    };
    CHECK(said(over, "the pack that charged them taken as full, the one that is put on as empty"));
    // Small capacitors give little: 0.5 mF 0.06 J.
    CHECK_FALSE(told(launch("39..54.6 V", "0.5 mF"), "no-precharge", "S1"));
}

TEST_CASE("a capacitor charged elsewhere onto a rail that stands less is told by what lies above it") {
    const auto give = [](std::string_view capacitor, std::string_view works, std::string_view more = "") {
        return told(
            std::string(example_harness) + "capacitor C9 { " + std::string(capacitor) +
                ", 80 V }\n"
                "switch S8 { 80 V dc, carries 5 A, makes 20 A, breaks 2 A at 60 V dc }\n"
                "switch S9 { 80 V dc, carries 5 A, makes 20 A, breaks 2 A at 60 V dc }\n"
                "load H9 { 12 V, 5 W, acts-as power, works " +
                std::string(works) +
                " }\nroute X1 (W30 1 mm2, 0.3 m, red) S8 (W31 1 mm2, 0.3 m, red) C9 (W32 1 mm2, 0.3 m, "
                "black) "
                "Q1.P-\n"
                "route C9.+ (W33 1 mm2, 0.3 m, red) S9 (W34 1 mm2, 0.3 m, red) H9 (W35 1 mm2, 0.3 m, black) "
                "Q1.P-\n" +
                std::string(more) +
                "mode fill { others at rest, S1 S8 closed }\n"
                "mode give { others at rest, after fill 3 s, S9 closed }\n",
            "stored-overvoltage", "H9");
    };
    const Told full = give("10 mF", "9..15 V");
    REQUIRE(full);
    CHECK(full.finding->severity == Severity::error);
    CHECK(figure(*full.finding, "voltage") == Approx(54.6).epsilon(0.01));
    CHECK(figure(*full.finding, "energy") == Approx(10e-3 * (54.6 * 54.6 - 15 * 15) / 2).epsilon(0.02));
    // 0.2 mF: 0.28 J; 0.05 mF: 0.07 J.
    CHECK(give("0.2 mF", "9..15 V").finding->severity == Severity::warning);
    CHECK_FALSE(give("0.05 mF", "9..15 V"));
    CHECK_FALSE(give("10 mF", "9..60 V"));
    // An empty capacitor on the rail takes most of it: 10 mF and 90 mF end at 5.5 V.
    CHECK_FALSE(
        give("10 mF", "9..15 V", "capacitor C8 { 90 mF, 80 V }\nroute H9.+ (direct) C8 (direct) H9.-\n"));
}

TEST_CASE("a string of packs holds a rail as one pack does") {
    // 40 mF from 84 V onto a rail of two packs of 27 V in line: they take the charge.
    const auto rail = [](std::string_view middle) {
        return told(R"(loom 1
harness "Two banks in line" { ambient 0..35 degC, insulation xlpe 90 degC }
part bank is pack { voltage 21..28 V, resistance 10..15 mohm, capacity 60 Ah, discharge 80 A, charge 20 A }
pack B1 is bank
pack B2 is bank
pack B3 { voltage 60..84 V, resistance 30..40 mohm, capacity 10 Ah, discharge 30 A, charge 10 A }
part small is fuse { 5 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }
fuse F1 is small
fuse F2 is small
resistor R1 { 47 ohm, 100 W, pulse 300 J }
switch S1 { 125 V dc, carries 10 A, makes 10 A, breaks 10 A at 100 V dc }
switch S2 { 125 V dc, carries 10 A, makes 10 kA, breaks 10 A at 100 V dc }
capacitor C1 { 40 mF, 100 V }
load E1 { 48 V, 50 W, acts-as power, works 40..58 V }
stud X1
stud X2
route B3.+ (W1 2.5 mm2, 0.2 m, red) F1 (W2 2.5 mm2, 0.2 m, red) S1 (W3 2.5 mm2, 0.2 m, red) R1 (W4 2.5 mm2, 0.2 m, red) C1.+
route C1.+ (W5 2.5 mm2, 0.2 m, red) S2 (W6 2.5 mm2, 0.2 m, red) X1
route X1 (W7 2.5 mm2, 0.2 m, red) E1 (W8 2.5 mm2, 0.2 m, black) X2
route C1.- (W9 2.5 mm2, 0.2 m, black) X2
route B3.- (W10 2.5 mm2, 0.2 m, black) X2
)" + std::string(middle) +
                        R"(
mode off { others at rest }
mode fill { others at rest, S1 closed }
mode give { others at rest, after fill 60 s, S2 closed }
)",
                    "stored-overvoltage", "E1");
    };
    const std::string string =
        "route B1.+ (W11 2.5 mm2, 0.2 m, red) F2 (W12 2.5 mm2, 0.2 m, red) X1\n"
        "route B2.+ (W13 2.5 mm2, 0.2 m, red) B1.-\nroute B2.- (W14 2.5 mm2, 0.2 m, black) X2\n";
    CHECK_FALSE(rail(string));
    CHECK(rail("route B1.+ (W11 2.5 mm2, 0.2 m, red) F2 (W12 2.5 mm2, 0.2 m, red) B2.-\n"));
}

TEST_CASE("a mode that drives while a charger gives through a plug is warned of") {
    const auto lead = [](std::string_view apart, std::string_view gives) {
        return told(
            std::string(example_harness) +
                "connector J9 { mate P9, contacts + -, carries 20 A, 80 V, takes 1..6 mm2, rated-at 30 "
                "degC, limit 105 degC }\ncharger G9 { output 54.6 V 5 A, reverse blocked }\n"
                "route F1.out (W30 2.5 mm2, 0.2 m, red) J9.+ (W31 2.5 mm2, 1 m, red) G9.+\n"
                "route Q1.P- (W32 2.5 mm2, 0.2 m, black) J9.- (W33 2.5 mm2, 1 m, black) G9.-\n"
                "mode apart { J9 " +
                std::string(apart) +
                ", others at rest }\nmode run { others at rest, after ready 3 s, J9 mated, K1 S1 closed, U1 "
                "draws 5 A, U1 phases 10 A" +
                std::string(gives) + " }\n",
            "driven-while-charging", "J9");
    };
    const Told in = lead("unmated", ", G9 delivers 5 A");
    REQUIRE(in);
    CHECK(in.finding->severity == Severity::warning);
    CHECK(in.finding->message == "controller U1 drives in mode run with the charge lead in");
    CHECK_FALSE(lead("unmated", ""));
    // What no mode parts is no lead: a charger on board.
    CHECK_FALSE(lead("mated", ", G9 delivers 5 A"));
}

}  // namespace changed_over_test
