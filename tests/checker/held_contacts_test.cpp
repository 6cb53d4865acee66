// Contacts that nothing opens, loads that only an open contact feeds, and what starting currents do to small
// bodies.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace held_contacts_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A milking machine: a pump behind a contactor, whose coil `route` feeds; a clock straight behind the switch.
Results pump(const std::string& more) {
    return check_text(R"(loom 1
harness "Milking machine" { ambient 0..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 22..28.8 V, resistance 8..20 mohm, capacity 120 Ah, discharge 100 A, charge 30 A }
fuse F1 { 80 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
fuse F2 { 3 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }
contactor K1 { carries 100 A, makes 600 A, breaks 400 A at 32 V dc
  coil 24 V 500 mA, coil-works 10..31 V, suppression diode }
load M1 { 24 V, 40 A, acts-as current, works 10..30 V }
busbar X2 { studs 6, carries 200 A }
stud X1
route B1.+ (W1 35 mm2, 0.12 m, red) F1 (W2 35 mm2, 0.3 m, red) K1 (W3 35 mm2, 0.5 m, red) M1 (W4 35 mm2, 0.5 m, black) X2.1
route X2.2 (W5 35 mm2, 0.3 m, black) B1.-
route F1.out (W6 1 mm2, 0.1 m, red) F2 (W7 1 mm2, 0.3 m, red) X1
route K1.A2 (W10 1 mm2, 0.3 m, black) X2.3
)" + more);
}
const std::string key = "switch S1 { 32 V dc, carries 5 A, makes 40 A, breaks 2 A at 32 V dc }\n";

}  // namespace

TEST_CASE("a contactor whose coil nothing parts from the pack cuts nothing off") {
    const Results held = pump("route X1 (W8 1 mm2, 0.3 m, red) K1.A1\nmode on { K1 closed }\n");
    const Finding* finding = finding_of(held, "no-disconnect", "M1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->related.back().text ==
          "nothing opens the way of the coil of contactor K1, so it is never open");
    CHECK_FALSE(finding_of(pump(key + "route X1 (W8 1 mm2, 0.3 m, red) S1 (W9 1 mm2, 0.3 m, red) K1.A1\n" +
                                "mode on { S1 closed, K1 closed }\n"),
                           "no-disconnect"));
}

TEST_CASE("a contactor held by one that is held cuts nothing off either") {
    const std::string second = R"(contactor K2 { carries 20 A, makes 60 A, breaks 40 A at 32 V dc
  coil 24 V 500 mA, coil-works 10..31 V, suppression diode }
route X1 (W8 1 mm2, 0.3 m, red) K2 (W9 1 mm2, 0.3 m, red) K1.A1
route K2.A2 (W13 1 mm2, 0.3 m, black) X2.4
)";
    const std::string modes = "mode on { K1 K2 closed, others at rest }\n";
    CHECK(
        finding_of(pump(second + "route X1 (W12 1 mm2, 0.3 m, red) K2.A1\n" + modes), "no-disconnect", "M1"));
    CHECK_FALSE(finding_of(
        pump(second + key + "route X1 (W12 1 mm2, 0.3 m, red) S1 (W14 1 mm2, 0.3 m, red) K2.A1\n" + modes),
        "no-disconnect"));
}

TEST_CASE("a converter from one pack to another may stay connected; one that feeds a load may not") {
    const std::string converter =
        R"(converter D1 { input 20..32 V, output 14 V 4 A, efficiency 88 %, negative common, spare out- }
fuse F3 { 5 A, 80 V dc, breaks 6 kA at 80 V dc, curve ul248-14, clears 30 A2s }
route X1 (W8 1 mm2, 0.3 m, red) D1.in+
route D1.in- (W9 1.5 mm2, 0.3 m, black) X2.4
)";
    const Results bank = pump(
        converter +
        R"(pack B2 { voltage 11..14.4 V, resistance 8..20 mohm, capacity 60 Ah, discharge 100 A, charge 30 A }
route D1.out+ (W12 1.5 mm2, 0.1 m, red) F3 (W13 1.5 mm2, 0.1 m, red) B2.+
route B2.- (W14 2.5 mm2, 0.3 m, black) X2.5
)");
    CHECK(gravest_of(bank, "no-disconnect", "D1") == Severity::note);
    const Results lamp = pump(converter + R"(load E1 { 12 V, 10 W, acts-as power, works 9..15 V }
route D1.out+ (W12 1.5 mm2, 0.1 m, red) E1 (W14 1.5 mm2, 0.3 m, black) X2.5
)");
    CHECK(gravest_of(lamp, "no-disconnect", "D1") == Severity::error);
}

TEST_CASE("a buzzer across a switch has its way to a source while that is open") {
    // It sounds while the lamp is on and the key is not.
    const auto reminder = [](const char* from) {
        return key + R"(switch S2 { 32 V dc, carries 5 A, makes 40 A, breaks 2 A at 32 V dc }
load E1 { 24 V, 1 A, acts-as resistor, works 16..30 V }
load E2 { 24 V, 24 ohm }
load H1 { 24 V, 1.2 kohm }
diode V1 { 1 A, 100 V, drop 0.6 V }
stud X3
stud X4
route X1 (W8 1 mm2, 0.3 m, red) S1 (W9 1 mm2, 0.3 m, red) X3
route X3 (W12 1 mm2, 0.3 m, red) E2 (W13 1 mm2, 0.3 m, black) X2.4
route X1 (W14 1 mm2, 0.3 m, red) S2 (W15 1 mm2, 0.3 m, red) X4
route X4 (W16 1 mm2, 0.3 m, red) E1 (W17 1 mm2, 0.3 m, black) X2.5
)" +
               fmt::format(
                   "route {} (W18 1 mm2, 0.3 m, red) V1 (W19 1 mm2, 0.3 m, red) H1 (W20 1 mm2, 0.3 m) X3\n",
                   from) +
               "route X3 (W21 1 mm2, 0.3 m, red) K1.A1\nmode on { S2 closed, others at rest }\n";
    };
    CHECK_FALSE(finding_of(pump(reminder("X4")), "floating"));
    CHECK(finding_of(pump(reminder("X3")), "floating", "H1"));
}

TEST_CASE("a small diode burns while a motor behind it starts") {
    const auto behind = [](double rated_A) {
        return pump(key + fmt::format("diode V1 {{ {} A, 100 V, drop 0.7 V }}\n", rated_A) +
                    "fuse F3 { 40 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
                    "load M2 { 24 V, 5 A, acts-as current, works 10..30 V, inrush 60 A for 3 s }\n"
                    "route X1 (W8 1 mm2, 0.3 m, red) S1 (W9 1 mm2, 0.3 m, red) K1.A1\n"
                    "route K1.out (W12 10 mm2, 0.1 m, red) F3 (W13 10 mm2, 0.1 m, red) V1 (W14 10 mm2, 0.3 "
                    "m, red) M2 "
                    "(W15 10 mm2, 0.3 m, black) X2.4\nmode on { S1 closed, K1 closed }\n");
    };
    CHECK(gravest_of(behind(8), "overloaded-diode", "V1") == Severity::error);
    // 60 A for 3 s as warm as 13.9 A with 60 s, as 31.0 A with 10 s, from 5 A on.
    CHECK(gravest_of(behind(15), "overloaded-diode", "V1") == Severity::warning);
    CHECK_FALSE(gravest_of(behind(32), "overloaded-diode", "V1"));
}

TEST_CASE("a plug that starts a motor is mated onto its starting current; with a switch it is not") {
    const auto plugged = [](double inrush_A, const std::string& between, const std::string& lines,
                            const std::string& contact = "") {
        return check_text(fmt::format(R"(loom 1
harness "Slurry pump" {{ ambient 5..35 degC, insulation xlpe 90 degC }}
pack B1 {{ voltage 44..54 V, resistance 10..15 mohm, capacity 120 Ah, discharge 120 A, peak 300 A for 5 s, charge 30 A }}
fuse F1 {{ 50 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }}
connector J1 {{ mate P1, half socket, contacts + -, carries 30 A, 100 V, takes 4..70 mm2, rated-at 35 degC, limit 105 degC
  breaks 60 A at 60 V dc{} }}
load M1 {{ 48 V, 20 A, acts-as current, works 20..60 V, inrush {} A for 100 ms }}
switch S1 {{ 72 V dc, carries 50 A, makes 300 A, breaks 50 A at 60 V dc }}
route B1.+ (W1 16 mm2, 0.12 m, red) F1 (W2 16 mm2, 0.2 m, red) {} J1.+ (W3 16 mm2, 0.2 m, red) M1.+
route M1.- (W4 16 mm2, 0.2 m, black) P1.- (W5 16 mm2, 0.2 m, black) B1.-
mode off {{ J1 unmated, others at rest }}
mode pump {{ {} others at rest }}
)",
                                      contact, inrush_A, between, lines));
    };
    // A mode that does not say so has it mated too, after the one that parts it.
    for (const std::string mated : {"J1 mated,", ""}) {
        CHECK(gravest_of(plugged(60.1, "", mated), "making-current", "J1.+") == Severity::warning);
        CHECK_FALSE(gravest_of(plugged(59.9, "", mated), "making-current", "J1.+"));
        CHECK_FALSE(gravest_of(plugged(190, "S1 (W9 16 mm2, 0.2 m, red)", mated + " S1 closed,"),
                               "making-current", "J1.+"));
        // A contact of a size of its own goes by that.
        CHECK(gravest_of(plugged(80.1, "", mated, ", contact + 80 A 4..70 mm2"), "making-current", "J1.+") ==
              Severity::warning);
        CHECK_FALSE(
            gravest_of(plugged(79.9, "", mated, ", contact + 80 A 4..70 mm2"), "making-current", "J1.+"));
    }
}

TEST_CASE("a breaker that is closed by hand starts all that hangs on it at once") {
    const auto pumps = [](double inrush_A, double trips_A) {
        return check_text(fmt::format(R"(loom 1
harness "Barge pumps" {{ ambient 5..35 degC, insulation xlpe 90 degC }}
pack B1 {{ voltage 44..54 V, resistance 10..15 mohm, capacity 120 Ah, discharge 120 A, peak 600 A for 2 s, charge 30 A }}
breaker Q2 {{ 40 A, 80 V dc, breaks 10 kA at 80 V dc, point 50 A 60..3600 s, point 100 A 8..60 s, point 200 A 2..20 s
  point {1} A 0.5..5 s, point {2} A 1..10 ms, point 6 kA 1..5 ms, reset hand, clears 20 kA2s }}
load M1 {{ 48 V, 15 A, acts-as current, works 20..60 V, inrush {0} A for 100 ms }}
load M2 {{ 48 V, 15 A, acts-as current, works 20..60 V, inrush {0} A for 100 ms }}
stud X1
stud X2
route B1.+ (W1 25 mm2, 0.12 m, red) Q2 (W3 25 mm2, 0.3 m, red) X1
route X1 (W4 25 mm2, 0.3 m, red) M1 (W5 25 mm2, 0.3 m, black) X2
route X1 (W6 25 mm2, 0.3 m, red) M2 (W7 25 mm2, 0.3 m, black) X2
route X2 (W8 25 mm2, 0.3 m, black) B1.-
mode off {{ Q2 open, others at rest }}
mode pump {{ Q2 closed }}
)",
                                      inrush_A, trips_A - 1, trips_A));
    };
    const auto told = [](const Results& results) {
        for (const Finding& finding : results.findings)
            if (finding.rule == "nuisance-trip" && finding.severity == Severity::error) return true;
        return false;
    };
    CHECK(told(pumps(240, 400)));
    CHECK_FALSE(told(pumps(150, 400)));
    // What it clears in a short circuit says nothing of a current that its points hold for longer: 20 kA2s /
    // (480 A)2 = 87 ms.
    CHECK_FALSE(told(pumps(240, 600)));
}

TEST_CASE(
    "a load that only a contact parts which is closed without power is told, one behind a make is not") {
    const auto saw = [](const std::string& contact, double draws_A) {
        return pump(
            key +
            fmt::format("relay K2 {{ contacts {}, 32 V dc, carries 30 A, makes 60 A, breaks 30 A at 32 V dc, "
                        "coil 24 V 80 mA, coil-works 16..30 V, suppression diode }}\n"
                        "load E2 {{ 24 V, {} A, acts-as current }}\n"
                        "fuse F3 {{ 20 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }}\n",
                        contact, draws_A) +
            "route X1 (W8 1 mm2, 0.3 m, red) S1 (W9 1 mm2, 0.3 m, red) K2.A1\n"
            "route K2.A2 (W12 1 mm2, 0.3 m, black) X2.4\n"
            "route F1.out (W13 6 mm2, 0.1 m, red) F3 (W14 6 mm2, 0.3 m, red) K2 (W15 6 mm2, 0.3 m, red) E2 "
            "(W16 6 mm2, 0.3 m, black) X2.5\nmode on { others at rest }\n");
    };
    const Results held = saw("nc", 10);
    const Finding* finding = finding_of(held, "no-disconnect", "E2");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->beside == "contact of K2 is closed at rest");
    CHECK_FALSE(finding_of(saw("no", 10), "no-disconnect", "E2"));
    CHECK_FALSE(finding_of(saw("nc", 0.99), "no-disconnect", "E2"));
}

TEST_CASE("a selector that joins a pack in every position parts nothing, one with a position for off does") {
    const auto winch = [](const std::string& off) {
        return check_text(
            "loom 1\nharness \"Slip winch\" { ambient 5..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 22..28.8 V, resistance 10..15 mohm, capacity 80 Ah, discharge 80 A, charge 20 "
            "A }\n"
            "pack B2 { voltage 22..28.8 V, resistance 10..15 mohm, capacity 80 Ah, discharge 80 A, charge 20 "
            "A }\n"
            "fuse F1 { 50 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5 }\n"
            "fuse F2 { 50 A, 32 V dc, breaks 5 kA at 32 V dc, curve iso8820-5 }\n"
            "selector S1 { terminals 1 2 com, position one 1 com, position two 2 com" +
            off +
            ", 32 V dc, carries 100 A, makes 200 A, breaks 100 A at 32 V dc }\n"
            "load E1 { 24 V, 30 A, acts-as current }\nbusbar X2 { studs 4, carries 100 A }\n"
            "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) S1.1\n"
            "route B2.+ (W3 16 mm2, 0.1 m, red) F2 (W4 16 mm2, 0.3 m, red) S1.2\n"
            "route S1.com (W5 16 mm2, 0.3 m, red) E1 (W6 16 mm2, 0.3 m, black) X2.1\n"
            "route B1.- (W7 16 mm2, 0.3 m, black) X2.2\nroute B2.- (W8 16 mm2, 0.3 m, black) X2.3\n"
            "mode one { S1 at one }\n");
    };
    const Results never = winch("");
    const Finding* finding = finding_of(never, "no-disconnect", "E1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->beside == "S1 has no position that parts it");
    CHECK_FALSE(finding_of(winch(", position off"), "no-disconnect"));
}

}  // namespace held_contacts_test
