// Without modes, states between everything at rest and everything on: one contact left at rest, a selector
// turned further. What such a state alone brings about is told; what none of them can do is not.
#include <catch2/catch.hpp>

#include <string>

#include "tests/checker/exchanged.hpp"

namespace modes_between_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string head =
    "loom 1\nharness \"Harbour skiff\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
    "busbar XP { studs 8, carries 300 A }\nbusbar XM { studs 8, carries 300 A }\n"
    "part iso is switch { 48 V dc, carries 200 A, makes 400 A, breaks 200 A at 48 V dc, resistance 0.3 mohm "
    "}\n"
    "part strip is fuse { 58 V dc, breaks 5 kA at 58 V dc, curve iso8820-5 }\n"
    "pack B1 { voltage 21..28.8 V, resistance 8..16 mohm, capacity 120 Ah, discharge 150 A, charge 60 A }\n"
    "fuse F1 is strip { 150 A }\nswitch S1 is iso\n"
    "route B1.+ (W1 50 mm2, 0.15 m, red) F1 (W2 50 mm2, 0.4 m, red) S1 (W3 50 mm2, 0.4 m, red) XP.1\n"
    "route B1.- (W4 50 mm2, 0.5 m, black) XM.1\n";

std::string winch(const std::string& draws) {
    return "fuse F3 is strip { 100 A }\nswitch S3 is iso\n"
           "load M1 \"winch\" { 24 V, " +
           draws +
           ", acts-as current, works 18..31 V }\n"
           "route XP.3 (W20 35 mm2, 0.1 m, red) F3 (W21 35 mm2, 0.5 m, red) S3 (W22 35 mm2, 0.5 m, red) "
           "M1.+\n"
           "route M1.- (W23 35 mm2, 0.5 m, black) XM.3\n";
}

struct SecondPack {
    std::string discharge = "70 A", charge = "60 A", voltage = "21..28.8 V";

    std::string text() const {
        return "pack B2 { voltage " + voltage + ", resistance 15..30 mohm, capacity 60 Ah, discharge " +
               discharge + ", charge " + charge + " }\nfuse F2 is strip { 100 A }\nswitch S2 is iso\n" +
               "route B2.+ (W5 35 mm2, 0.15 m, red) F2 (W6 35 mm2, 0.4 m, red) S2 (W7 35 mm2, 0.4 m, red) "
               "XP.2\n"
               "route B2.- (W8 35 mm2, 0.5 m, black) XM.2\n";
    }
};

bool is_error(const std::string& more, std::string_view rule, std::string_view subject) {
    return severity_in(head + more, rule, subject) == Severity::error;
}

}  // namespace

TEST_CASE("the weaker of two packs is held to what it gives alone") {
    const Told weak =
        told(head + winch("60 A") + SecondPack{.discharge = "40 A"}.text(), "overdrawn-pack", "B2");
    REQUIRE(weak);
    CHECK(weak.finding->severity == Severity::error);
    CHECK(weak.results.harness->modes[weak.finding->mode.index()].name == "everything on but S1");
    CHECK_FALSE(is_error(winch("60 A") + SecondPack{}.text(), "overdrawn-pack", "B2"));
}

TEST_CASE("a charger is held to the pack that it has for itself") {
    const auto is_too_strong = [](const std::string& amps) {
        return is_error(SecondPack{}.text() + "charger G1 { output 28.8 V " + amps +
                            ", reverse blocked }\nfuse F4 is strip { 80 A }\n"
                            "route G1.+ (W30 25 mm2, 0.5 m, red) F4 (W31 25 mm2, 0.2 m, red) XP.4\n"
                            "route G1.- (W32 25 mm2, 0.5 m, black) XM.4\n",
                        "overdrawn-pack", "B2");
    };
    CHECK(is_too_strong("70 A"));
    CHECK_FALSE(is_too_strong("50 A"));
}

TEST_CASE("what the throw of a relay feeds when it is let go is held to its voltage") {
    const auto is_too_high_for = [](const std::string& heater) {
        return is_error(
            "relay K1 { contacts change-over, coil 24 V 100 mA, suppression diode, carries 30 A, makes 40 A, "
            "breaks 30 A at 48 V dc }\n"
            "fuse F5 is strip { 30 A }\nfuse F6 is strip { 30 A }\nswitch S5 is iso\n"
            "load E1 { 24 V, 8 A, acts-as current, works 18..31 V }\n"
            "load E2 { " +
                heater +
                " }\nroute XP.4 (W40 6 mm2, 0.1 m, red) F5 (W41 6 mm2, 0.4 m, red) K1.com\n"
                "route K1.no (W42 6 mm2, 0.5 m, red) E1.+\nroute K1.nc (W43 6 mm2, 0.5 m, red) E2.+\n"
                "route E1.- (W44 6 mm2, 0.5 m, black) XM.4\nroute E2.- (W45 6 mm2, 0.5 m, black) XM.5\n"
                "route XP.5 (W46 1 mm2, 0.1 m, red) F6 (W47 4 mm2, 0.4 m, red) S5 (W48 4 mm2, 0.4 m, red) "
                "K1.A1\nroute K1.A2 (W49 4 mm2, 0.4 m, black) XM.6\n",
            "wrong-rail", "E2");
    };
    CHECK(is_too_high_for("12 V, 5 A, acts-as current, works 9..16 V"));
    CHECK_FALSE(is_too_high_for("24 V, 5 A, acts-as current, works 18..31 V"));
}

TEST_CASE("two pairs that would short the pack leave its isolator closed") {
    const auto bridge = [](const std::string& n, int stud) {
        const std::string p = std::to_string(stud), m = std::to_string(stud);
        return "switch S" + n + "1 is iso\nswitch S" + n + "2 is iso\nfuse F" + n + "0 is strip { 80 A }\n" +
               "route XP." + p + " (W" + n + "1 25 mm2, 0.1 m, red) F" + n + "0 (W" + n +
               "2 25 mm2, 0.4 m, red) S" + n + "1 (W" + n + "3 25 mm2, 0.2 m, red) S" + n + "2 (W" + n +
               "4 25 mm2, 0.4 m, black) XM." + m + "\n";
    };
    const std::string lamp =
        "load E9 { 12 V, 2 A, acts-as current, works 9..16 V }\nfuse F9 is strip { 30 A }\n"
        "route XP.8 (W90 6 mm2, 0.1 m, red) F9 (W91 6 mm2, 0.5 m, red) E9 (W92 6 mm2, 0.5 m, black) XM.8\n";
    CHECK(is_error(lamp + bridge("5", 5), "wrong-rail", "E9"));
    const std::string two = lamp + bridge("5", 5) + bridge("6", 6);
    CHECK(is_error(two, "wrong-rail", "E9"));
    CHECK((is_error(two, "short-when-closed", "S51") || is_error(two, "short-when-closed", "S52")));
    CHECK((is_error(two, "short-when-closed", "S61") || is_error(two, "short-when-closed", "S62")));
}

TEST_CASE("what a pack drives into another needs no consumer to be an error") {
    const auto is_overcharged = [](const std::string& voltage) {
        return is_error(winch("3 A") + SecondPack{.charge = "20 A", .voltage = voltage}.text(),
                        "overdrawn-pack", "B2");
    };
    CHECK(is_overcharged("18..25.2 V"));
    CHECK_FALSE(is_overcharged("21..28.8 V"));
}

TEST_CASE("a drive that a resistor fills is asked for nothing meanwhile, a fan behind it is") {
    const auto drive = [](const std::string& fan) {
        return std::string(
                   "contactor K1 { nominal 48 V, carries 150 A, makes 100 A, breaks 150 A at 60 V dc, coil "
                   "24 V "
                   "500 mA, suppression diode }\nfuse F5 is strip { 30 A }\nfuse F6 is strip { 30 A }\n"
                   "fuse F8 is strip { 30 A }\nswitch S5 is iso\nswitch S6 is iso\n"
                   "resistor R1 { 47 ohm, 50 W, pulse 60 J }\nfuse F7 is strip { 80 A }\n"
                   "controller U1 { input 18..32 V, capacitance 4 mF, supply-limit 60 A, phase-peak 150 A }\n"
                   "route XP.4 (W50 25 mm2, 0.1 m, red) F7 (W51 25 mm2, 0.4 m, red) K1 (W52 25 mm2, 0.4 m, "
                   "red) "
                   "U1.+\nroute U1.- (W53 25 mm2, 0.4 m, black) XM.4\n"
                   "route XP.5 (W54 4 mm2, 0.1 m, red) F5 (W55 4 mm2, 0.4 m, red) S5 (W56 4 mm2, 0.4 m, red) "
                   "R1 "
                   "(W57 4 mm2, 0.4 m, red) F8 (direct) K1.out\n"
                   "route XP.6 (W58 4 mm2, 0.1 m, red) F6 (W59 4 mm2, 0.4 m, red) S6 (W60 4 mm2, 0.4 m, red) "
                   "K1.A1\nroute K1.A2 (W61 4 mm2, 0.4 m, black) XM.6\n") +
               fan;
    };
    CHECK_FALSE(is_error(drive(""), "cannot-be-fed", "U1"));
    CHECK_FALSE(is_error(drive(""), "setting-too-high", "U1"));
    CHECK_FALSE(is_error(drive(""), "overloaded-resistor", "R1"));
    const std::string blown = drive(
        "load E1 \"fan\" { 24 V, 60 W, acts-as power, works 18..32 V }\nfuse F0 is strip { 30 A }\n"
        "route U1.+ (W62 4 mm2, 0.1 m, red) F0 (W63 4 mm2, 0.3 m, red) E1 (W64 4 mm2, 0.3 m, black) XM.7\n");
    CHECK(is_error(blown, "cannot-be-fed", "E1"));
}

TEST_CASE("modes of the text in which nothing is on are warned of") {
    const auto warned = [](const std::string& modes) {
        return severity_in(head + winch("60 A") + modes, "no-mode", "") == Severity::warning;
    };
    CHECK(warned("mode parked { others at rest }\n"));
    CHECK_FALSE(warned("mode parked { others at rest }\nmode hauling { S1 S3 closed }\n"));
    CHECK_FALSE(warned(""));
}

}  // namespace modes_between_test
