// What is switched in the minus, and packs in series: told as what is switched in the plus and as one pack.
#include <fmt/format.h>

#include "tests/checker/network_builder.hpp"
#include "tests/checker/told.hpp"

namespace minus_and_strings_test {

using namespace loomward;
using namespace loomward::test;
using namespace loomward::testing;

namespace {

const std::string head =
    "loom 1\nharness \"hop barrow\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
    "part branch is fuse { 100 V dc, breaks 10 kA at 100 V dc, curve ul248-14 }\n"
    "fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
    "part isolator is switch { 80 V dc, carries 250 A, makes 300 A, breaks 250 A at 60 V dc }\n";
const std::string one_pack =
    "pack B1 { voltage 40..58 V, resistance 12..20 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }\n";
// The same in two halves, B1 below B2.
const std::string two_packs =
    "part half is pack { voltage 20..29 V, resistance 6..10 mohm, capacity 60 Ah, discharge 90 A, charge 30 "
    "A "
    "}\n"
    "pack B1 is half\npack B2 is half\nroute B1.+ (W90 25 mm2, 0.1 m) B2.-\n";

// With the plus of the machine at `B1.+` or `B2.+`.
std::string with_packs(bool series, const std::string& rest) {
    std::string text = head + (series ? two_packs : one_pack) + rest;
    for (std::size_t at = text.find("PLUS"); at != text.npos; at = text.find("PLUS"))
        text.replace(at, 4, series ? "B2.+" : "B1.+");
    return text;
}

}  // namespace

TEST_CASE("what hangs on a source by devices at rest alone stands at its voltage") {
    Network network{7, {emf(0, 1, 48, 1e-3), resistor(2, 3, 1), emf(5, 6, 12, 1e-3)}};
    // 2 and 3 hang on the plus; 4 on them; 6 to nothing.
    network.ties = {{3, 1}, {4, 2}};
    const NetworkSolution hangs = solve(network);
    REQUIRE(hangs.status == SolveStatus::solved);
    CHECK(hangs.node_V[2] == Approx(48));
    CHECK(hangs.node_V[3] == Approx(48));
    CHECK(hangs.node_V[4] == Approx(48));
    CHECK(hangs.node_V[6] == Approx(12));
    // Of two ways the lower voltage, and the nearer one before the farther one.
    network.ties = {{3, 1}, {4, 2}, {2, 0}};
    CHECK(solve(network).node_V[4] == Approx(0).margin(1e-9));
    network.ties = {{3, 1}, {4, 2}, {4, 0}};
    CHECK(solve(network).node_V[3] == Approx(48));
    CHECK(solve(network).node_V[4] == Approx(0).margin(1e-9));
    network.ties.clear();
    CHECK(solve(network).node_V[2] == 0);
}

TEST_CASE("an isolator in the minus closes onto empty capacitors as one in the plus does") {
    const auto isolated = [](const std::string& leads) {
        return told(
            with_packs(
                false,
                "switch S1 is isolator\n"
                "controller U1 { input 30..62 V, capacitance 2 mF, phase-peak 80 A, supply-limit 40 A, "
                "regen none, spare U V W }\n" +
                    leads + "mode off { others at rest }\nmode run { S1 closed, U1 draws 20 A }\n"),
            "no-precharge", "S1");
    };
    const Told in_plus = isolated(
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 1 m) S1 (W3 16 mm2, 0.1 m) U1.+\n"
        "route B1.- (W4 16 mm2, 1.1 m) U1.-\n");
    const Told in_minus = isolated(
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 1 m) U1.+\n"
        "route B1.- (W4 16 mm2, 1.1 m) S1 (W3 16 mm2, 0.1 m) U1.-\n");
    REQUIRE(in_plus);
    REQUIRE(in_minus);
    CHECK(in_minus.finding->severity == in_plus.finding->severity);
    CHECK(in_minus.finding->beside == in_plus.finding->beside);
}

TEST_CASE(
    "a contactor closes onto the starting current of a motor whichever pole it and the isolator are in") {
    const auto makes = [](const std::string& leads, const std::string& makes_A) {
        return told(
            with_packs(
                false,
                "switch S1 is isolator\n"
                "switch S2 { 80 V dc, carries 60 A, makes " +
                    makes_A +
                    ", breaks 60 A at 60 V dc }\n"
                    "load M1 { 48 V, 20 A, acts-as current, inrush 50 A for 0.2 s, works 30..62 V }\n" +
                    leads + "mode off { others at rest }\nmode run { S1 S2 closed }\n"),
            "making-current", "S2");
    };
    const std::string plus = "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 1 m) ";
    for (const std::string& leads :
         {plus + "S1 (W3 16 mm2, 0.1 m) S2 (W4 16 mm2, 0.1 m) M1 (W5 16 mm2, 1 m) B1.-\n",
          plus + "S1 (W3 16 mm2, 0.1 m) M1 (W4 16 mm2, 0.1 m) S2 (W5 16 mm2, 1 m) B1.-\n",
          plus + "S2 (W3 16 mm2, 0.1 m) M1 (W4 16 mm2, 0.1 m) S1 (W5 16 mm2, 1 m) B1.-\n",
          plus + "M1 (W3 16 mm2, 0.1 m) S2 (W4 16 mm2, 0.1 m) S1 (W5 16 mm2, 1 m) B1.-\n"}) {
        INFO(leads);
        CHECK(makes(leads, "49.9 A"));
        CHECK_FALSE(makes(leads, "50.1 A"));
    }
}

TEST_CASE("what no pack can be cut off from is told of packs in series as of one") {
    const bool series = GENERATE(false, true);
    const auto lone = [&](const std::string& way, const std::string& rule) {
        return told(
            with_packs(
                series,
                "load E1 { 48 V, 30 A, acts-as current, works 30..62 V }\n"
                "switch S1 is isolator\n"
                "connector J1 { mate P1, half socket, contacts 2, carries 60 A, 80 V, takes 6..25 mm2, "
                "rated-at 30 degC, limit 105 degC, breaks none }\n"
                "route PLUS (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 1 m) " +
                    way + "mode on { E1 on" + (way.find("S1") == way.npos ? "" : ", S1 closed") +
                    ", others at rest }\n"),
            rule, "E1");
    };
    const std::string bare = "E1 (W3 16 mm2, 1 m) B1.-\n",
                      plugged = "J1.1 (W3 16 mm2, 1 m) E1 (W4 16 mm2, 1 m) P1.2 (W5 16 mm2, 1 m) B1.-\n",
                      switched = "S1 (W3 16 mm2, 1 m) E1 (W4 16 mm2, 1 m) B1.-\n";
    CHECK(lone(bare, "no-disconnect"));
    CHECK_FALSE(lone(switched, "no-disconnect"));
    CHECK_FALSE(lone(switched, "no-load-break"));
    CHECK(lone(plugged, "no-load-break"));
}

TEST_CASE("a string of packs beside a pack is held to its voltage") {
    const auto beside = [](const std::string& full) {
        return told(
            with_packs(true,
                       "pack B3 { voltage 40.." + full +
                           ", resistance 12..20 mohm, capacity 60 Ah, discharge 90 A, charge 30 A }\n"
                           "fuse F3 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
                           "load E1 { 48 V, 30 A, acts-as current, works 30..62 V }\nswitch S1 is isolator\n"
                           "busbar X1 { studs 4, carries 150 A }\nbusbar X2 { studs 4, carries 150 A }\n"
                           "route PLUS (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.5 m) X1.1\n"
                           "route B3.+ (W3 16 mm2, 0.1 m) F3 (W4 16 mm2, 0.5 m) X1.2\n"
                           "route B1.- (W5 16 mm2, 0.5 m) X2.1\nroute B3.- (W6 16 mm2, 0.5 m) X2.2\n"
                           "route X1.3 (W7 16 mm2, 0.5 m) S1 (W8 16 mm2, 0.5 m) E1 (W9 16 mm2, 0.5 m) X2.3\n"
                           "mode off { others at rest }\nmode on { S1 closed }\n"),
            "joined-packs", "B3");
    };
    const Told unlike = beside("54 V");
    REQUIRE(unlike);
    CHECK(unlike.finding->severity == Severity::warning);
    CHECK(unlike.finding->message == "packs B1 + B2 and pack B3 are joined");
    CHECK(unlike.finding->beside == "B1 + B2 has 40 V to 58 V, B3 has 40 V to 54 V");
    CHECK_FALSE(beside("58 V"));
}

TEST_CASE("two chargers may fill packs in series as they may fill one") {
    const bool series = GENERATE(false, true);
    const Told fight = told(
        with_packs(
            series,
            "load E1 { 48 V, 30 A, acts-as current, works 30..62 V }\nswitch S1 is isolator\n"
            "part slow is charger { output 58 V 5 A, reverse blocked }\ncharger G1 is slow\ncharger G2 is "
            "slow\n"
            "fuse F2 is branch { 10 A, clears 400 A2s }\nfuse F3 is branch { 10 A, clears 400 A2s }\n"
            "busbar X1 { studs 5, carries 150 A }\nbusbar X2 { studs 5, carries 150 A }\n"
            "route PLUS (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.5 m) X1.1\nroute B1.- (W5 16 mm2, 0.5 m) X2.1\n"
            "route X1.2 (W3 4 mm2, 0.1 m) F2 (W4 4 mm2, 0.5 m) G1 (W6 4 mm2, 0.5 m) X2.2\n"
            "route X1.4 (W10 4 mm2, 0.1 m) F3 (W11 4 mm2, 0.5 m) G2 (W12 4 mm2, 0.5 m) X2.4\n"
            "route X1.3 (W7 16 mm2, 0.5 m) S1 (W8 16 mm2, 0.5 m) E1 (W9 16 mm2, 0.5 m) X2.3\n"
            "mode off { others at rest }\nmode on { S1 closed, others at rest }\nmode fill { G1 delivers "
            "limit, "
            "G2 delivers "
            "limit, others "
            "at rest }\n"),
        "joined-outputs");
    CHECK_FALSE(fight);
}

TEST_CASE("a panel before its converter is not the wrong way round for a pack of two in series") {
    const bool series = GENERATE(false, true);
    const auto panel = [&](const std::string& plus, const std::string& minus) {
        return told(
            with_packs(
                series,
                "load E1 { 48 V, 30 A, acts-as current, works 30..62 V }\nswitch S1 is isolator\n"
                "charger G1 { output 70 V 5 A, reverse passes }\nfuse F2 is branch { 10 A, clears 400 A2s }\n"
                "converter D1 { input 20..90 V, output 58 V 5 A, efficiency 94 %, negative common, reverse "
                "blocked, capacitance 100 uF }\n"
                "busbar X1 { studs 5, carries 150 A }\nbusbar X2 { studs 5, carries 150 A }\n"
                "route PLUS (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.5 m) X1.1\nroute B1.- (W5 16 mm2, 0.5 m) "
                "X2.1\n"
                "route X1.3 (W7 16 mm2, 0.5 m) S1 (W8 16 mm2, 0.5 m) E1 (W9 16 mm2, 0.5 m) X2.3\n"
                "route X1.2 (W3 4 mm2, 0.1 m) F2 (W4 4 mm2, 0.5 m) D1.out+\nroute D1.out- (W6 4 mm2, 0.5 m) "
                "X2.2\n"
                "route D1.in+ (W10 4 mm2, 2 m) " +
                    plus + "\nroute D1.in- (W11 4 mm2, 2 m) " + minus +
                    "\nmode off { others at rest }\nmode sun { G1 delivers limit, others at rest }\n"),
            "reversed");
    };
    CHECK_FALSE(panel("G1.+", "G1.-"));
}

TEST_CASE("a coil that does not say at what it works may do with more than switchgear does, up to a point") {
    const auto coil = [](const std::string& coil_V, const std::string& works = "") {
        return told(
            with_packs(false,
                       "relay K1 { contacts no, carries 30 A, makes 90 A, breaks 30 A at 60 V dc, coil " +
                           coil_V + " V 60 mA, suppression diode" + works +
                           " }\nswitch S1 is isolator\n"
                           "load E1 { 48 V, 10 A, acts-as current, works 30..62 V }\n"
                           "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 1 m) K1 (W3 16 mm2, 1 m) E1 (W4 16 "
                           "mm2, 1 m) B1.-\n"
                           "route F1.out (W5 16 mm2, 0.1 m) S1 (W6 16 mm2, 0.1 m) K1.A1\n"
                           "route K1.A2 (W7 16 mm2, 0.1 m) B1.-\n"
                           "mode off { others at rest }\nmode on { S1 closed, K1 energised }\n"),
            "coil-voltage", "K1");
    };
    const auto is = [](const Told& look, Severity severity, bool possible) {
        REQUIRE(look);
        CHECK(look.finding->severity == severity);
        CHECK(look.finding->possible == possible);
    };
    // 40 V with the pack empty, 58 V with it full.
    is(coil("52"), Severity::error, true);
    is(coil("36.3"), Severity::error, true);
    is(coil("36.1"), Severity::error, false);
    is(coil("60"), Severity::error, true);
    is(coil("79"), Severity::error, true);
    is(coil("81"), Severity::error, false);
    // Who says at what it works is held to that.
    is(coil("44.7", ", coil-works 30..57 V"), Severity::error, false);
    CHECK_FALSE(coil("44.7", ", coil-works 30..59 V"));
}

}  // namespace minus_and_strings_test
