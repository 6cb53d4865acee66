// Parts walked from their far end, and units on both halves of one plug: which parts, and from what on.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/checking.hpp"

namespace direction_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A part on the way to a lamp, and a second lamp that lands on its `tap`.
Results stall(const std::string& part, const std::string& from, const std::string& to,
              const std::string& tap) {
    return check_text(
        "loom 1\nharness \"Market stall\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 22..29 V, resistance 20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }\n"
        "fuse F1 { 20 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n" +
        part +
        "\nload E1 { 24 V, 1 A, acts-as current, works 18..32 V }\n"
        "load E2 { 24 V, 1 A, acts-as current, works 18..32 V }\n"
        "busbar X2 { studs 9, carries 100 A }\nroute B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.1 m) K1." +
        from + "\nroute K1." + to + " (W3 2.5 mm2, 0.1 m) E1 (W4 2.5 mm2, 0.1 m) X2.1\nroute K1." + tap +
        " (W5 2.5 mm2, 0.1 m) E2 (W6 2.5 mm2, 0.1 m) X2.2\nroute B1.- (W7 2.5 mm2, 0.1 m) X2.3\n" +
        "mode on { others at rest }\n");
}
bool backwards(const std::string& part, const std::string& from, const std::string& to,
               const std::string& tap) {
    const Results results = stall(part, from, to, tap);
    return gravest_of(results, "walked-backwards", "K1") == Severity::warning;
}
const std::string
    fuse = "fuse K1 { 10 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-3 }",
    breaker = "breaker K1 { 10 A, 80 V dc, breaks 8 kA at 80 V dc, curve iec60898-b, reset hand }",
    contactor =
        "contactor K1 { carries 20 A, makes 40 A, breaks 20 A at 60 V dc, coil 24 V 100 mA\n"
        "  coil-works 15..32 V, suppression diode }\n"
        "route F1.out (W8 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W9 1 mm2, 0.1 m) X2.4",
    hand = "switch K1 { 80 V dc, carries 20 A, breaks 10 A at 32 V dc }",
    relay =
        "relay K1 { contacts no, carries 20 A, makes 40 A, breaks 20 A at 60 V dc, coil 24 V 100 mA\n"
        "  coil-works 15..32 V, suppression diode }\n"
        "route F1.out (W8 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W9 1 mm2, 0.1 m) X2.4";

}  // namespace

TEST_CASE(
    "a fuse, breaker or contactor that was walked from its far end is told where another wire lands on it") {
    for (const std::string& part : {fuse, breaker, contactor}) {
        INFO(part);
        CHECK(backwards(part, "out", "in", "out"));
        CHECK(backwards(part, "out", "in", "in"));
        CHECK_FALSE(backwards(part, "in", "out", "out"));
        CHECK_FALSE(backwards(part, "in", "out", "in"));
    }
    // Without a tap there is nothing to mistake.
    const std::string alone = replaced(
        "loom 1\nharness \"Market stall\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 22..29 V, resistance 20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }\n@\n"
        "load E1 { 24 V, 1 A, acts-as current, works 18..32 V }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m) K1.out>in (W3 2.5 mm2, 0.1 m) E1 (W4 2.5 mm2, 0.1 m) B1.-\n",
        "@", fuse);
    CHECK_FALSE(finding_of(check_text(alone), "walked-backwards"));
}

TEST_CASE("a switch and the contact of a relay may be walked either way") {
    for (const std::string& part : {hand, relay}) CHECK_FALSE(backwards(part, "out", "in", "out"));
}

namespace {

// A mains adapter behind its own fuse, walked from the adapter outwards; a bell lands behind the fuse.
Results byre(const std::string& relay, const std::string& from_pack, const std::string& from_adapter) {
    return check_text(
        "loom 1\nharness \"Calving byre\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
        "pack B1 { voltage 11..14 V, resistance 20 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }\n"
        "charger G1 { output 13 V 5 A, reverse blocked }\n"
        "fuse F1 { 10 A, 32 V dc, breaks 8 kA at 32 V dc, curve iso8820-3 }\n"
        "fuse F2 { 5 A, 32 V dc, breaks 8 kA at 32 V dc, curve iso8820-3 }\nrelay K1 { contacts " +
        relay +
        ", carries 20 A, makes 40 A, breaks 20 A at 32 V dc, coil 12 V 100 mA, coil-works 8..16 V, "
        "suppression diode }\n"
        "load E1 { 12 V, 1 A, acts-as current, works 9..16 V }\n"
        "load E2 { 12 V, 1 A, acts-as current, works 9..16 V }\nbusbar X2 { studs 9, carries 100 A }\n"
        "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.1 m) " +
        from_pack + "\nroute G1.+ (W3 2.5 mm2, 1 m) F2 (W4 2.5 mm2, 0.1 m) " + from_adapter +
        "\nroute K1.com (W5 2.5 mm2, 0.1 m) E1 (W6 2.5 mm2, 0.1 m) X2.1\n"
        "route F2.out (W7 2.5 mm2, 0.1 m) E2 (W8 2.5 mm2, 0.1 m) X2.2\nroute F2.out (W9 1 mm2, 0.1 m) K1.A1\n"
        "route K1.A2 (W10 1 mm2, 0.1 m) X2.3\nroute G1.- (W11 2.5 mm2, 1 m) X2.4\n"
        "route B1.- (W12 2.5 mm2, 0.1 m) X2.5\n"
        "mode mains { K1 energised, G1 delivers limit }\nmode out { K1 released, others at rest }\n");
}

}  // namespace

TEST_CASE(
    "what only the other throw of a change-over contact joins to a pack is walked from its own source") {
    CHECK_FALSE(finding_of(byre("change-over", "K1.nc", "K1.no"), "walked-backwards"));
    // Where the pack comes to its 'out' whenever the contact closes, the bell may sit on the live side.
    CHECK(finding_of(byre("change-over", "K1.nc", "K1.com"), "walked-backwards", "F2"));
    CHECK(finding_of(byre("change-over", "K1.com", "K1.no"), "walked-backwards", "F2"));
}

namespace {

// A protector that is walked backwards to a lamp, with a charger behind it.
Results loft(const std::string& lamp, const std::string& charge) {
    return check_text(fmt::format(
        "loom 1\nharness \"hay loft\" {{ ambient 0..30 degC, insulation xlpe 90 degC }}\n"
        "pack B1 {{ voltage 22..28 V, resistance 20 mohm, capacity 60 Ah, discharge 60 A, charge 20 A }}\n"
        "fuse F1 {{ 15 A, 32 V dc, breaks 6 kA at 32 V dc, curve iso8820-3 }}\n"
        "protector F9 {{ 10 A, 60 V dc, trips 15 A after 100 ms, breaks 6 kA at 60 V dc, resistance 6 mohm\n"
        "  reset hand }}\nswitch S1 {{ 60 V dc, carries 15 A, makes 20 A, breaks 15 A at 32 V dc }}\n"
        "controller U1 {{ input 15..32 V, capacitance 1 uF, supply-limit 5 A, phase-peak 9 A, regen none, "
        "spare U V W "
        "}}\n"
        "charger G1 {{ output 29 V 2 A, reverse blocked }}\nstud X5\n"
        "route B1.+ (W1 4 mm2, 0.1 m) F1 (W2 4 mm2, 0.1 m) F9.out>in (W3 4 mm2, 0.1 m) X5\n"
        "route X5 (W4 4 mm2, 0.1 m) S1 (W5 4 mm2, 0.1 m) U1.+\nroute U1.- (W6 4 mm2, 0.1 m) B1.-\n"
        "route X5 (W7 4 mm2, 0.1 m) G1 (W8 4 mm2, 0.1 m) B1.-\n"
        "mode off {{ others at rest }}\nmode on {{ S1 closed, U1 draws {}, others at rest }}\n{}",
        lamp, charge.empty() ? "" : "mode charge { G1 delivers " + charge + ", others at rest }\n"));
}

}  // namespace

TEST_CASE("a protector the wrong way round is told from 50 mA on, with the most that enters at its out") {
    CHECK_FALSE(finding_of(loft("49.9 mA", ""), "walked-backwards"));
    const Results told = loft("50.1 mA", "");
    const Finding* finding = finding_of(told, "walked-backwards", "F9");
    REQUIRE(finding);
    CHECK(figure(*finding, "current") == Approx(0.0501).epsilon(0.001));
    CHECK(told.harness->modes[finding->mode.index()].name == "on");
}

TEST_CASE("a protector that passes more than a milliampere forwards in some mode lies right for that") {
    CHECK(finding_of(loft("4 A", "0.9 mA"), "walked-backwards", "F9"));
    CHECK_FALSE(finding_of(loft("4 A", "1.1 mA"), "walked-backwards"));
}

TEST_CASE("a unit that is wired straight to both halves of a plug is told, once a plug") {
    const auto plugged = [](const std::string& first, const std::string& second, const std::string& load) {
        return check_text(
            "loom 1\nharness \"Tea cart\" { ambient 5..30 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 22..29 V, resistance 20 mohm, capacity 40 Ah, discharge 60 A, charge 20 A }\n"
            "fuse F1 { 10 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
            "connector J1 { mate P1, half socket, contacts 2, 80 V, carries 40 A, takes 1..10 mm2, rated-at "
            "30 degC\n"
            "  limit 105 degC }\n" +
            load + "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.1 m) " + first +
            " (W3 2.5 mm2, 0.1 m) E1 (W4 2.5 mm2, 0.1 m) " + second + " (W5 2.5 mm2, 0.1 m) B1.-\n");
    };
    const std::string lamp = "load E1 { 24 V, 1 A, acts-as current, works 18..32 V }\n";
    const Results mixed = plugged("J1.1", "J1.2", lamp);
    REQUIRE(finding_of(mixed, "mixed-halves", "J1"));
    CHECK(finding_of(mixed, "mixed-halves", "J1")->severity == Severity::warning);
    CHECK(std::count_if(mixed.findings.begin(), mixed.findings.end(),
                        [](const Finding& finding) { return finding.rule == "mixed-halves"; }) == 1);
    CHECK_FALSE(finding_of(plugged("J1.1", "P1.2", lamp), "mixed-halves"));
}

}  // namespace direction_test
