// Clauses of rules that one figure decides, each a little inside its limit and a little outside.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "tests/checker/told.hpp"

namespace rule_edges_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two bars behind a fuse; `more` hangs on them.
std::string bars(const std::string& pack, const std::string& more, const std::string& modes) {
    return "loom 1\nharness \"Cider press\" { ambient 5..30 degC, insulation xlpe 90 degC }\npack B1 { " +
           pack +
           ", resistance 1 mohm, capacity 100 Ah, discharge 90 A, charge 40 A }\n"
           "fuse F1 { 40 A, 125 V dc, breaks 50 kA at 125 V dc, curve iso8820-5 }\n"
           "busbar X1 { studs 9, carries 200 A }\nbusbar X2 { studs 9, carries 200 A }\n"
           "route B1.+ (W1 10 mm2, 0.1 m) F1 (W2 10 mm2, 0.1 m) X1.1\nroute B1.- (W3 10 mm2, 0.1 m) X2.1\n" +
           more + modes;
}
const std::string resting = "mode on { others at rest }\n";

}  // namespace

TEST_CASE(
    "a load that does not say at what it works is told below half of its voltage and on rails below 0.7") {
    const auto lamp = [](double empty_V, double full_V) {
        return told(
            bars(fmt::format("voltage {}..{} V", empty_V, full_V),
                 "load E1 { 48 V, 1 A, acts-as current }\nroute X1.2 (W4 1.5 mm2, 0.1 m) E1 (W5 1.5 mm2, "
                 "0.1 m) X2.2\n",
                 resting),
            full_V < 33.6 ? "wrong-rail" : "undervoltage", "E1");
    };
    // 24 V is half of 48 V, 33.6 V is 0.7 of it.
    const Told low = lamp(23.9, 40);
    REQUIRE(low);
    CHECK(low.finding->severity == Severity::warning);
    CHECK(low.finding->message == "load E1 gets too little voltage when the pack is low");
    CHECK_FALSE(lamp(24.1, 40));
    CHECK_FALSE(lamp(24.1, 33.7));
    const Told wrong = lamp(24.1, 33.5);
    REQUIRE(wrong);
    CHECK(wrong.finding->severity == Severity::error);
}

TEST_CASE("what lands on a point among panels is held to 1.25 times what arrives there") {
    const auto point = [](const std::string& splice, const std::string& rest) {
        return told(bars("voltage 11..14.4 V",
                         "charger G1 { output 14.2 V 20 A, reverse blocked, panel-input 15..60 V }\n"
                         "panel V1 { open-circuit-voltage 24 V, short-circuit-current 10 A }\n" +
                             splice +
                             "\nroute V1.+ (W10 6 mm2, 1 m) X5 (W11 6 mm2, 1 m) G1.in+\n"
                             "route V1.- (W12 6 mm2, 1 m) G1.in-\n"
                             "route X1.2 (W13 6 mm2, 0.1 m) G1 (W14 6 mm2, 0.1 m) X2.2\n" +
                             rest,
                         "mode sunny { G1 delivers 15 A, others at rest }\n"),
                    "panel-current", "X5");
    };
    const Told weak = point("splice X5 { carries 12.49 A }", "");
    REQUIRE(weak);
    CHECK(weak.finding->severity == Severity::error);
    CHECK(weak.finding->message == "splice X5 carries less than the panels behind it give");
    CHECK(figure(*weak.finding, "current") == Approx(12.5));
    CHECK_FALSE(point("splice X5 { carries 12.51 A }", ""));
}

TEST_CASE("an output pin is fed backwards from half a volt above what it gives itself") {
    const auto pin = [](double outside_V) {
        return told(
            bars(
                "voltage 23.9..24 V",
                fmt::format("pack B2 {{ voltage {0}..{0} V, resistance 5 mohm, capacity 4 Ah, discharge 9 A, "
                            "charge 4 A }}\nfuse F2 {{ 2 A, 125 V dc, breaks 9 kA at 125 V dc, curve "
                            "ul248-14 }}\n",
                            outside_V) +
                    "device A1 { pin in supply 18..32 V 20 mA, pin minus return, pin five output 5 V 1 A }\n"
                    "route X1.2 (W10 1 mm2, 0.1 m) A1.in\nroute A1.minus (W11 1 mm2, 0.1 m) X2.2\n"
                    "route B2.+ (direct) F2 (direct) A1.five\nroute B2.- (direct) X2.3\n",
                resting),
            "back-fed-output", "A1.five");
    };
    CHECK_FALSE(pin(5.49));
    const Told fed = pin(5.51);
    REQUIRE(fed);
    CHECK(figure(*fed.finding, "output") == Approx(5.51).epsilon(0.001));
    CHECK(figure(*fed.finding, "supply") == Approx(5));
}

TEST_CASE("five wires on one stud are one too many, four are not") {
    const auto stud = [](int wires) {
        std::string more =
            "stud X5\nload E1 { 24 V, 1 A, acts-as current, works 9..32 V }\n"
            "route X1.2 (W10 2.5 mm2, 0.1 m) X5 (W11 2.5 mm2, 0.1 m) E1 (W12 2.5 mm2, 0.1 m) X2.2\n";
        for (int i = 3; i <= wires; ++i) more += fmt::format("route X5 (W2{0} 2.5 mm2, 0.1 m) X1.{0}\n", i);
        return told(bars("voltage 22..29 V", more, resting), "crowded-contact", "X5");
    };
    CHECK_FALSE(stud(4));
    REQUIRE(stud(5));
    CHECK(stud(5).finding->beside == "a stud takes four");
}

TEST_CASE(
    "a supply pin is dead below a tenth of the least voltage that it states, else of that of the input") {
    // 30 kohm before the key of 20 mA would take all: a divider of resistors gives a steady voltage.
    const auto key = [](double outside_V, const std::string& stated) {
        return told(
            bars("voltage 47.9..48 V",
                 fmt::format("pack B2 {{ voltage {0}..{0} V, resistance 5 mohm, capacity 4 Ah, discharge 9 "
                             "A, charge 4 "
                             "A }}\nfuse F2 {{ 2 A, 125 V dc, breaks 9 kA at 125 V dc, curve ul248-14 }}\n",
                             outside_V) +
                     "controller U1 { input 30..60 V, capacitance 1 uF, supply-limit 20 A, phase-peak 40 A, "
                     "regen "
                     "none, spare U V W\n  pin key supply " +
                     stated +
                     "20 mA }\nroute X1.2 (W10 4 mm2, 0.1 m) U1.+\nroute U1.- (W11 4 mm2, 0.1 m) X2.2\n"
                     "route B2.+ (direct) F2 (direct) U1.key\nroute B2.- (direct) X2.3\n",
                 "mode on { U1 draws 10 A, others at rest }\n"),
            "dead-key", "U1");
    };
    CHECK(key(2.97, ""));
    CHECK_FALSE(key(3.03, ""));
    CHECK(key(1.18, "12..15 V "));
    CHECK_FALSE(key(1.22, "12..15 V "));
}

TEST_CASE("what a capacitor stores burns a wire that it reaches past no device, from 20 J on") {
    // A wire of 0.5 mm2 to a lamp, 34.5 mohm/m at the least, survives (143 x 0.5 mm2)^2 = 5112 A2s (IEC
    // 60364-4-43, 90 degC): on 0.15 m 26.4 J are too much for it, on 0.1 m 17.6 J, which is below 20 J.
    const auto told_of = [](const std::string& stores, const std::string& length, double full_V = 100) {
        return told(
            bars(fmt::format("voltage {}..{} V", full_V - 1, full_V),
                 "policy { unprotected-length 50 mm }\ncapacitor C1 { " + stores +
                     ", 125 V }\nfuse F2 { 3 A, 125 V dc, breaks 50 kA at 125 V dc, curve ul248-14 }\n"
                     "load E1 { 100 V, 0.5 A, acts-as current, works 9..110 V }\n"
                     "route X1.2 (W10 2.5 mm2, 0.04 m) F2 (direct) C1.+\n"
                     "route C1.- (W11 16 mm2, 0.04 m) X2.2\nroute C1.+ (W12 0.5 mm2, " +
                     length + " m) E1 (W13 16 mm2, 0.04 m) X2.3\n",
                 resting),
            "unprotected-wire", "W12");
    };
    const Told burnt = told_of("4.01 mF", "0.1");
    REQUIRE(burnt);
    CHECK(burnt.finding->severity == Severity::error);
    CHECK(figure(*burnt.finding, "stored") == Approx(20.05));
    CHECK_FALSE(told_of("3.99 mF", "0.1"));
    CHECK(told_of("5.32 mF", "0.15"));
    CHECK_FALSE(told_of("5.26 mF", "0.15"));
    CHECK_FALSE(told_of("400 mF", "0.049"));  // no longer than the policy lets be
    // 0.25 s / 0.1 F is 2.5 ohm of its own (double-layer capacitors, memory).
    CHECK(told_of("99.9 mF", "0.1"));
    CHECK_FALSE(told_of("100.1 mF", "0.1", 99));
}

TEST_CASE(
    "the own resistance of a double-layer capacitor makes the near short of a long lead the worse one") {
    // F x (28 V)2 / 2 over 0.25 s / F and 50 mm of 0.75 mm2, 1.15 mohm, against (143 x 0.75 mm2)^2 = 11.5
    // kA2s: 11.29 kA2s of 2.7 F, 11.71 kA2s of 2.75 F; over all 2 m, 46 mohm, it would be 7.8 kA2s.
    const auto told_of = [](const std::string& stores) {
        return told(
            bars("voltage 27..28 V",
                 "policy { unprotected-length 50 mm }\ncapacitor C1 { " + stores +
                     ", 35 V }\nfuse F2 { 30 A, 125 V dc, breaks 50 kA at 125 V dc, curve ul248-14 }\n"
                     "load E1 { 28 V, 0.5 A, acts-as current, works 9..35 V }\n"
                     "route X1.2 (W10 6 mm2, 0.04 m) F2 (direct) C1.+\n"
                     "route C1.- (W11 16 mm2, 0.04 m) X2.2\nroute C1.+ (W12 0.75 mm2, 2 m) E1 (W13 16 mm2, "
                     "0.04 m) X2.3\n",
                 resting),
            "unprotected-wire", "W12");
    };
    CHECK_FALSE(told_of("2.7 F"));
    CHECK(told_of("2.75 F"));
}

TEST_CASE("equal fuses side by side on equal wires are a note, anything unequal makes it a warning") {
    struct Beside {
        std::string first = "2.5 mm2, 0.1 m", second = "2.5 mm2, 0.1 m";
        std::string rated = "10 A";

        std::optional<Severity> said() const {
            return gravest_of(
                check_text(bars("voltage 22..29 V",
                                "part branch is fuse { 125 V dc, breaks 50 kA at 125 V dc, curve ul248-14 }\n"
                                "fuse F2 is branch { 10 A }\nfuse F3 is branch { " +
                                    rated +
                                    " }\nstud X5\nload E1 { 24 V, 5 A, acts-as current, works 9..32 V }\n"
                                    "route X1.2 (W10 " +
                                    first + ") F2 (W11 2.5 mm2, 0.2 m) X5\nroute X1.3 (W12 " + second +
                                    ") F3 (W13 2.5 mm2, 0.2 m) X5\n"
                                    "route X5 (W14 6 mm2, 0.1 m) E1 (W15 6 mm2, 0.1 m) X2.2\n",
                                resting)),
                "parallel-devices", "F2");
        }
    };
    CHECK(Beside{}.said() == Severity::note);
    CHECK(Beside{.second = "2.5 mm2, 104.9 mm"}.said() == Severity::note);
    CHECK(Beside{.second = "2.5 mm2, 105.1 mm"}.said() == Severity::warning);
    CHECK(Beside{.first = "2.5 mm2, 105.1 mm"}.said() == Severity::warning);
    CHECK(Beside{.second = "4 mm2, 0.1 m"}.said() == Severity::warning);
    CHECK(Beside{.second = "2.5 mm2, 0.1 m, material aluminium"}.said() == Severity::warning);
    CHECK(Beside{.rated = "12 A"}.said() == Severity::warning);
}

TEST_CASE("of the contacts of one plug behind one fuse the weakest is told") {
    const auto plugged = [](const std::string& first, const std::string& second) {
        return told(
            bars("voltage 22..29 V",
                 "fuse F2 { 10 A, 125 V dc, breaks 50 kA at 125 V dc, curve ul248-14 }\n"
                 "connector J1 { mate P1, half socket, contacts 2, 125 V, carries 30 A, takes 1..10 mm2\n"
                 "  contact 1 " +
                     first + " A 1..10 mm2, contact 2 " + second +
                     " A 1..10 mm2, rated-at 30 degC, limit 105 degC }\n"
                     "load E1 { 24 V, 1 A, acts-as current, works 9..32 V }\n"
                     "route X1.2 (W10 2.5 mm2, 0.1 m) F2 (W11 2.5 mm2, 0.1 m) J1.1 (W12 2.5 mm2, 0.1 m) E1 "
                     "(W13 2.5 mm2, 0.1 m) P1.2\nroute J1.2 (W14 2.5 mm2, 0.1 m) X2.2\n",
                 resting),
            "rated-below-guard");
    };
    const Told second = plugged("7", "5"), first = plugged("5", "7");
    REQUIRE(second);
    REQUIRE(first);
    CHECK(second.finding->subject == "J1.2");
    CHECK(figure(*second.finding, "limit") == Approx(5));
    CHECK(first.finding->subject == "J1.1");
    CHECK_FALSE(plugged("10.01", "10.01"));
    CHECK(plugged("10.01", "9.99"));
}

TEST_CASE("of several points at which a fuse opens below its rated current the lowest is told") {
    const auto points = [](const std::string& both) {
        return told(
            bars("voltage 22..29 V",
                 "fuse F2 { 20 A, 125 V dc, breaks 9 kA at 125 V dc, " + both +
                     " }\nload E1 { 24 V, 1 A, acts-as current, works 9..32 V }\n"
                     "route X1.2 (W10 4 mm2, 0.1 m) F2 (W11 4 mm2, 0.1 m) E1 (W12 4 mm2, 0.1 m) X2.2\n",
                 resting),
            "opens-below-rating", "F2");
    };
    for (const char* both :
         {"point 15 A 5..60 s, point 18 A 1..9 s", "point 18 A 1..9 s, point 15 A 5..60 s"}) {
        const Told low = points(both);
        REQUIRE(low);
        CHECK(figure(*low.finding, "current") == Approx(15));
    }
}

TEST_CASE("a wire is held to the hottest of the places that it lies in, to the modes where it lies in none") {
    // Insulation for 60 degC, in a harness of 5..30 degC.
    const auto lies = [](const std::string& places, const std::string& wire, const std::string& modes,
                         const std::string& lamp = "") {
        return told(bars("voltage 22..29 V",
                         places + "load E1 { " + lamp +
                             "24 V, 1 A, acts-as current, works 9..32 V }\n"
                             "route X1.2 (W10 2.5 mm2, 0.1 m, insulation pvc 60 degC" +
                             wire + ") E1 (W11 2.5 mm2, 0.1 m) X2.2\n",
                         modes),
                    "hot-place", "W10");
    };
    const auto mode = [](const std::string& hottest) {
        return "mode on { ambient 5.." + hottest +
               " degC, others at rest }\nmode dusk { ambient 5..10 degC, others "
               "at rest }\n";
    };
    CHECK_FALSE(lies("", "", mode("59.9")));
    const Told by_mode = lies("", "", mode("60.1"));
    REQUIRE(by_mode);
    CHECK(by_mode.finding->beside.find("mode on") != std::string::npos);
    const auto location = [](const std::string& hottest) {
        return "location oven { ambient 5.." + hottest + " degC }\n";
    };
    const std::string bundle = "bundle L1 { wrap open, length 0.1 m, at oven }\n";
    CHECK_FALSE(lies(location("59.9") + bundle, ", in L1", resting));
    CHECK(lies(location("60.1") + bundle, ", in L1", resting));
    // What lies in a place of its own does not get as hot as the modes say that it is elsewhere.
    CHECK_FALSE(lies(location("20") + bundle, ", in L1", mode("60.1")));
    const auto own = [](const std::string& hottest) {
        return "bundle L1 { wrap open, length 0.1 m, ambient 5.." + hottest + " degC }\n";
    };
    CHECK_FALSE(lies(own("59.9"), ", in L1", resting));
    CHECK(lies(own("60.1"), ", in L1", resting));
    CHECK_FALSE(lies(own("20"), ", in L1", mode("60.1")));
    CHECK(lies("bundle L1 { wrap open, length 0.1 m }\n", ", in L1", mode("60.1")));
    // One end of it in the oven is enough.
    CHECK_FALSE(lies(location("59.9"), "", resting, "at oven, "));
    CHECK(lies(location("60.1"), "", resting, "at oven, "));
}

TEST_CASE(
    "a load is held to the lowest and the highest voltage that any mode gives it, whichever stands first") {
    const std::string calm = "mode calm { others at rest }\n",
                      heavy = "mode heavy { U1 draws 10 A, others at rest }\n";
    // 10 A through some 0.13 ohm of thin wire.
    const auto lamp = [](const std::string& works, const std::string& modes, const char* rule) {
        const Told look = told(bars("voltage 22..29 V",
                                    "stud X5\nload E1 { 24 V, 1 A, acts-as current, works " + works +
                                        " V }\ncontroller U1 { input 15..32 V, capacitance 1 uF, "
                                        "supply-limit 20 A, phase-peak 40 A, regen "
                                        "none, spare U V W }\nroute X1.2 (W10 1.5 mm2, 10 m) X5\nroute X5 "
                                        "(W11 1.5 mm2, 0.1 m) E1 (W12 "
                                        "1.5 mm2, 0.1 m) X2.2\nroute X5 (W13 1.5 mm2, 0.1 m) U1.+\nroute "
                                        "U1.- (W14 1.5 mm2, 0.1 m) "
                                        "X2.3\n",
                                    modes),
                               rule, "E1");
        return look ? std::string(look.results.harness->modes[look.finding->mode.index()].name) : "";
    };
    for (const std::string& modes : {calm + heavy, heavy + calm}) {
        CHECK(lamp("21..32", modes, "undervoltage") == "heavy");
        CHECK(lamp("18..28.5", modes, "input-voltage") == "calm");
    }
    CHECK(lamp("21..32", calm, "undervoltage").empty());
    CHECK(lamp("18..28.5", heavy, "input-voltage").empty());
    // Far above what it takes is another rail: 28.84 V / 1.35 = 21.4 V.
    CHECK(lamp("9..21.5", calm, "input-voltage") == "calm");
    CHECK(lamp("9..21.5", calm, "wrong-rail").empty());
    CHECK(lamp("9..21.2", calm, "wrong-rail") == "calm");
}

}  // namespace rule_edges_test
