// What is told of one thing withholds nothing of another: a graver finding stands beside a milder one of the
// same part.
#include "checker/rules/rule_example.hpp"
#include "tests/checker/exchanged.hpp"

namespace withheld_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string hoist(const std::vector<Exchange>& exchanges) {
    return with(std::string(example_harness), exchanges);
}

}  // namespace

TEST_CASE("a short pull that may be too much hides no lasting overload of another mode") {
    // A heater of 11 A behind a switch of 10 A, and a load of 60 A for some seconds.
    const auto pulled = [](const std::string& pull) {
        return severity_in(
            hoist({{"splice X1",
                    "load E9 { 48 V, 11 A, acts-as current }\nload E8 { 48 V, 60 A, acts-as current }\n"
                    "fuse F9 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\nsplice X9\n"
                    "switch S9 { 80 V dc, carries 10 A, makes 80 A, breaks 80 A at 60 V dc }\n"
                    "route F1.out (W90 16 mm2, 0.1 m) F9 (W91 16 mm2, 0.3 m) S9 (W92 16 mm2, 0.3 m) X9\n"
                    "route X9 (W93 16 mm2, 0.3 m) E9 (W94 16 mm2, 0.3 m) Q1.P-\n"
                    "route X9 (W95 16 mm2, 0.3 m) E8 (W96 16 mm2, 0.3 m) Q1.P-\n"
                    "mode warm { others at rest, S9 closed, E9 on, E8 off }\n" +
                        pull + "splice X1"}}),
            "overloaded-contact", "S9");
    };
    CHECK(pulled("") == Severity::error);
    CHECK(pulled("mode pull { others at rest, S9 closed, E9 off, E8 draws 60 A for 5 s then 0 A }\n") ==
          Severity::error);
}

TEST_CASE(
    "a weaker switch in its lead, and loads that run beside it, hide no charger too large for its pack") {
    const auto charger = [](const std::string& carries, const std::string& delivers) {
        return severity_in(
            hoist({{"splice X1",
                    "charger G9 { output 54 V 25 A, reverse blocked }\n"
                    "fuse F9 { 35 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
                    "load E9 { 48 V, 20 A, acts-as current }\n"
                    "switch S9 { 80 V dc, carries " +
                        carries +
                        ", makes 60 A, breaks 60 A at 60 V dc }\n"
                        "route G9.+ (W50 6 mm2, 1 m) S9 (W51 6 mm2, 0.3 m) F9.out\n"
                        "route F9.in (W53 6 mm2, 0.1 m) F1.out\nroute G9.- (W52 6 mm2, 1 m) Q1.P-\n"
                        "route S9.out (W54 6 mm2, 0.3 m) E9 (W55 6 mm2, 0.3 m) Q1.P-\n"
                        "mode shore { others at rest, S9 closed, G9 delivers " +
                        delivers + ", E9 on }\nsplice X1"}}),
            "setting-too-high", "G9");
    };
    CHECK(charger("60 A", "5 A") == Severity::error);
    CHECK(charger("60 A", "25 A") == Severity::error);
    CHECK(charger("10 A", "5 A") == Severity::error);
}

TEST_CASE("a pull that may be too much for a management hides no charge that is") {
    const auto managed = [](const std::string& modes) {
        return severity_in(
            hoist({{"discharge 60 A, charge 15 A", "discharge 200 A, charge 60 A"},
                   {"charge 20 A, trips 120 A after 1 s", "charge 20 A, trips 160 A after 60 s"},
                   {"splice X1",
                    "charger G9 { output 54.6 V 30 A, reverse blocked }\n"
                    "fuse F9 { 40 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
                    "route G9.+ (W50 16 mm2, 1 m) F9.out\nroute F9.in (W53 16 mm2, 0.1 m) F1.out\n"
                    "route G9.- (W52 16 mm2, 1 m) Q1.P-\n" +
                        modes + "splice X1"}}),
            "overdrawn-bms", "Q1");
    };
    const std::string
        shore = "mode shore { others at rest, G9 delivers 30 A }\n",
        pull =
            "mode pull { others at rest, after ready 3 s, K1 S1 closed, U1 draws 150 A for 55 s "
            "then 0 A }\n";
    CHECK(managed(pull) == Severity::warning);
    CHECK(managed(shore) == Severity::error);
    CHECK(managed(shore + pull) == Severity::error);
}

TEST_CASE("of three outputs on one rail each is held against each") {
    const auto joined = [](const std::string& second, const std::string& third) {
        return severity_in(
            hoist({{"output 12 V 5 A", "output 12.0 V 5 A"},
                   {"splice X1",
                    "converter D2 { input 30..60 V, output " + second +
                        " 5 A, efficiency 88 %, negative common, reverse blocked }\n"
                        "converter D3 { input 30..60 V, output " +
                        third +
                        " 5 A, efficiency 88 %, negative common, reverse blocked }\n"
                        "route X1 (W60 1.5 mm2, 0.3 m) D2.in+\nroute D2.in- (W61 1.5 mm2, 0.5 m) Q1.P-\n"
                        "route X1 (W62 1.5 mm2, 0.3 m) D3.in+\nroute D3.in- (W63 1.5 mm2, 0.5 m) Q1.P-\n"
                        "route D2.out+ (W64 1.5 mm2, 0.2 m) D1.out+\nroute D3.out+ (W65 1.5 mm2, 0.2 m) "
                        "D1.out+\n"
                        "splice X1"}}),
            "joined-outputs", "");
    };
    // 5 % apart is one voltage of two makes: neither from the first, and 7 % from each other.
    CHECK(joined("11.6 V", "12.4 V") == Severity::error);
    CHECK_FALSE(joined("11.9 V", "12.1 V") == Severity::error);
}

TEST_CASE("what is known of one pole or load hides nothing that is stated of another") {
    // The fan is known blocked alone: a note. The lamp says its inrush: an error.
    const auto relay = [](const std::string& stall, const std::string& inrush) {
        return severity_in(
            hoist({{"splice X1",
                    "relay K9 { contacts no no, carries 10 A, makes 20 A, breaks 10 A at 60 V dc, coil 48 V "
                    "15 mA, "
                    "coil-works 30..60 V, suppression diode }\n"
                    "load E7 \"fan\" { 48 V, 3 A, acts-as current, stall " +
                        stall + " }\nload E8 \"lamp\" { 48 V, 4 A, acts-as current, inrush " + inrush +
                        " for 20 ms }\n"
                        "fuse F6 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                        "fuse F8 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                        "switch S8 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
                        "route F1.out (W60 2.5 mm2, 0.15 m) F6 (W61 2.5 mm2, 1 m) K9.1.in\n"
                        "route K9.1.out (W62 2.5 mm2, 1 m) E7 (W63 2.5 mm2, 1 m) Q1.P-\n"
                        "route F1.out (W64 2.5 mm2, 0.15 m) F8 (W65 2.5 mm2, 1 m) K9.2.in\n"
                        "route K9.2.out (W66 2.5 mm2, 1 m) E8 (W67 2.5 mm2, 1 m) Q1.P-\n"
                        "route F2.out (W68 1 mm2, 0.5 m) S8 (W69 1 mm2, 0.3 m) K9.A1\n"
                        "route K9.A2 (W70 1 mm2, 1 m) Q1.P-\n"
                        "mode light { others at rest, S8 closed, K9 energised }\nsplice X1"}}),
            "making-current", "K9");
    };
    CHECK(relay("15 A", "60 A") == Severity::error);
    CHECK(relay("25 A", "60 A") == Severity::error);
    CHECK(relay("25 A", "15 A") == Severity::note);
    // Two behind one diode, the same.
    const auto diode = [](const std::string& stall, const std::string& inrush) {
        return severity_in(
            hoist({{"splice X1",
                    "diode D9 { 12 A, 100 V, drop 0.6 V }\nstud X9\n"
                    "load E7 \"lift motor\" { 48 V, 3 A, acts-as current, stall " +
                        stall + " }\nload E8 \"compressor\" { 48 V, 4 A, acts-as current, inrush " + inrush +
                        " for 6 s }\n"
                        "fuse F6 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, point 35 A 1000 s, point 100 A "
                        "20 s, "
                        "point 400 A 50 ms, point 1.5 kA 5 ms }\n"
                        "switch S8 { 80 V dc, carries 40 A, makes 90 A, breaks 80 A at 80 V dc }\n"
                        "route F1.out (W60 6 mm2, 0.15 m) F6 (W61 6 mm2, 1 m) S8 (W65 6 mm2, 0.5 m) D9 (W62 "
                        "6 mm2, "
                        "0.5 m) X9\n"
                        "route X9 (W64 6 mm2, 0.15 m) E7 (W63 6 mm2, 1 m) Q1.P-\n"
                        "route X9 (W66 6 mm2, 1 m) E8 (W67 6 mm2, 1 m) Q1.P-\n"
                        "mode light { others at rest, S8 closed }\nsplice X1"}}),
            "overloaded-diode", "D9");
    };
    CHECK(diode("12 A", "60 A") == Severity::error);
    CHECK(diode("75 A", "60 A") == Severity::error);
    CHECK(diode("75 A", "8 A") == Severity::note);
}

TEST_CASE("more current in the heat is not less to tell of") {
    const auto boost = [](const std::string& most) {
        return severity_in(
            hoist(
                {{"discharge 70 A, charge 20 A, trips",
                  "discharge 41 A, discharge-at 20 degC 41 A, discharge-at 40 degC 25 A, charge 20 A, trips"},
                 {"supply-limit 40 A", "supply-limit 22 A"},
                 {"U1 draws 35 A, U1 phases 60 A", "U1 draws 20 A, U1 phases 30 A"},
                 {"splice X1",
                  "load E9 { 48 V, 50 A, acts-as current, rest off }\n"
                  "fuse F8 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
                  "switch S8 { 80 V dc, carries 80 A, makes 80 A, breaks 80 A at 60 V dc }\n"
                  "route F1.out (W54 16 mm2, 0.15 m) F8 (W55 16 mm2, 1 m) S8 (W57 16 mm2, 0.5 m) E9 (W56 16 "
                  "mm2, "
                  "1 m) Q1.P-\nmode boost { others at rest, S8 closed, E9 draws " +
                      most + " for 40 s then 30 A for 600 s repeating }\nsplice X1"}}),
            "limit-at-temperature", "Q1");
    };
    CHECK(boost("39 A") == Severity::error);
    CHECK(boost("50 A") == Severity::error);
}

TEST_CASE("what comes back and finds no pack in one mode is held to what the pack takes all the same") {
    const auto braked = [](const std::string& more) {
        return severity_in(hoist({{"charge 20 A, trips 120 A after 1 s",
                                   "charge 20 A, trips 120 A after 1 s, charge-trips 10 A after 1 s"},
                                  {"regen none", "regen 14 A"},
                                  {"splice X1", more + "splice X1"}}),
                           "regeneration-too-high", "U1");
    };
    CHECK(braked("") == Severity::error);
    CHECK(braked("mode coast { others at rest, U1 returns 5 A }\n") == Severity::error);
}

TEST_CASE("a lamp of another rail is no matter of several at once") {
    const auto cabin = [](const std::string& stoves) {
        return severity_in(
            "loom 1\nharness \"cabin\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 44..58.4 V, resistance 12..20 mohm, capacity 100 Ah, discharge 100 A, charge "
            "30 A }\n"
            "fuse F1 { 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
            "switch S1 { 80 V dc, carries 150 A, makes 300 A, breaks 150 A at 60 V dc }\n"
            "busbar X1 { studs 8, carries 150 A }\nbusbar X2 { studs 8, carries 150 A }\n"
            "part small is fuse { 80 V dc, breaks 5 kA at 80 V dc, curve iso8820-3 }\nfuse F2 is small { 5 A "
            "}\n"
            "part rocker is switch { 80 V dc, carries 20 A, makes 60 A, breaks 30 A at 60 V dc }\nswitch S2 "
            "is "
            "rocker\n"
            "load H1 \"lamp\" { 12 V, 10 W, works 9..16 V }\n"
            "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.3 m) S1 (W3 16 mm2, 0.3 m) X1.1\n"
            "route X2.1 (W4 16 mm2, 0.3 m) B1.-\n"
            "route X1.2 (W5 1.5 mm2, 0.1 m) F2 (W6 1.5 mm2, 0.5 m) S2 (W7 1.5 mm2, 0.5 m) H1 (W8 1.5 mm2, "
            "0.5 m) "
            "X2.2\n" +
                stoves,
            "wrong-rail", "H1");
    };
    const std::string stoves =
        "load E1 { 48 V, 7 A, acts-as current }\nfuse F5 is small { 10 A }\nswitch S5 is rocker\n"
        "route X1.3 (W50 2.5 mm2, 0.1 m) F5 (W51 2.5 mm2, 1 m) S5 (W52 2.5 mm2, 1 m) E1 (W53 2.5 mm2, 1 m) "
        "X2.3\n"
        "load E2 { 48 V, 7 A, acts-as current }\nfuse F6 is small { 10 A }\nswitch S6 is rocker\n"
        "route X1.4 (W60 2.5 mm2, 0.1 m) F6 (W61 2.5 mm2, 1 m) S6 (W62 2.5 mm2, 1 m) E2 (W63 2.5 mm2, 1 m) "
        "X2.4\n";
    CHECK(cabin("") == Severity::error);
    CHECK(cabin(stoves) == Severity::error);
}

TEST_CASE("a device of unknown curve in the lead of a small source leaves no short on its bus unjudged") {
    const auto camper = [](const std::string& more) {
        return severity_in(
            "loom 1\nharness \"Camper corner\" { ambient 0..40 degC, insulation pvc 70 degC }\n"
            "pack B1 { voltage 11..14.4 V, resistance 5 mohm, capacity 100 Ah, discharge 100 A, charge 30 A "
            "}\n"
            "fuse F1 { 60 A, 32 V dc, breaks 5 kA at 32 V dc, point 90 A 1000 s, point 200 A 100 s, point "
            "600 A "
            "20 s, point 2.0 kA 10 s }\n"
            "switch S1 { 32 V dc, carries 150 A, makes 150 A, breaks 100 A at 32 V dc }\n"
            "busbar X1 { studs 8, carries 150 A }\nbusbar X2 { studs 8, carries 150 A }\n"
            "load E1 { 12 V, 20 A, acts-as current }\n"
            "route B1.+ (W1 50 mm2, 0.1 m) F1 (W2 50 mm2, 0.5 m) S1 (W3 50 mm2, 0.5 m) X1.1\n"
            "route B1.- (W4 50 mm2, 0.5 m) X2.1\n"
            "route X1.2 (W5 16 mm2, 0.5 m) E1 (W7 16 mm2, 1 m) X2.2\n" +
                more + "mode off { others at rest }\nmode on { others at rest, S1 closed }\n",
            "slow-clearing", "");
    };
    CHECK(camper("") == Severity::error);
    CHECK(camper("charger G1 { output 14.4 V 5 A, reverse blocked }\n"
                 "fuse F9 { 15 A, 32 V dc, breaks 5 kA at 32 V dc, curve unknown }\n"
                 "route G1.+ (W10 16 mm2, 0.3 m) F9 (W12 16 mm2, 0.3 m) X1.3\n"
                 "route G1.- (W11 16 mm2, 0.3 m) X2.3\n") == Severity::error);
}

TEST_CASE("a tap may have a shunt in it, as long as it stays short") {
    const auto tap = [](const std::string& each) {
        return severity_in(
            hoist({{"(W8 1 mm2, 0.15 m, red) F2", "(W8 1 mm2, " + each + ") R8 (W88 1 mm2, " + each + ") F2"},
                   {"splice X1", "shunt R8 { 50 A, drop 75 mV }\nsplice X1"}}),
            "oversized-fuse", "");
    };
    CHECK_FALSE(tap("0.05 m") == Severity::error);
    CHECK(tap("0.2 m") == Severity::error);
}

TEST_CASE("a surge that may open a fuse hides none that does") {
    const auto surges = [](const std::string& small) {
        return severity_in(
            hoist({{"splice X1",
                    "stud X8\nfuse F8 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                    "route F1.out (W88 6 mm2, 0.1 m) F8 (W89 6 mm2, 0.1 m) X8\n"
                    "capacitor C6 { 40 mF, 100 V }\n"
                    "switch S6 { 80 V dc, carries 30 A, makes 5 kA, breaks 30 A at 80 V dc }\n"
                    "route X8 (W60 6 mm2, 6 m) S6 (W61 6 mm2, 6 m) C6 (W62 6 mm2, 6 m) Q1.P-\n" +
                        small + "mode two { others at rest, S6 closed" + (small.empty() ? "" : ", S5 open") +
                        " }\nsplice X1"}}),
            "charging-surge", "F8");
    };
    CHECK(surges("") == Severity::error);
    CHECK(surges("capacitor C5 { 1 mF, 100 V }\n"
                 "switch S5 { 80 V dc, carries 30 A, makes 5 kA, breaks 30 A at 80 V dc }\n"
                 "route X8 (W50 6 mm2, 0.1 m) S5 (W51 6 mm2, 0.1 m) C5 (W52 6 mm2, 0.1 m) Q1.P-\n"
                 "mode one { others at rest, S5 closed }\n") == Severity::error);
}

TEST_CASE("without modes, loads that may be on together hide no charger too strong by itself") {
    const auto barrow = [](int loads, const std::string& carries) {
        std::string text =
            "loom 1\n"
            "harness \"Feed barrow\" { ambient 10..30 degC, insulation pvc 70 degC }\n"
            "pack B1 { voltage 22..29 V, resistance 16..25 mohm, capacity 100 Ah, discharge 100 A, charge 40 "
            "A }\n"
            "fuse F1 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }\n"
            "switch S1 { 80 V dc, carries " +
            carries +
            ", makes 100 A, breaks 100 A at 80 V dc }\n"
            "charger G1 { output 28.8 V 25 A, reverse blocked }\n"
            "stud X1\nstud X2\n"
            "route B1.+ (W1 25 mm2, 0.1 m) F1 (W2 25 mm2, 0.3 m) S1 (W3 25 mm2, 0.3 m) X1\n"
            "route B1.- (W4 25 mm2, 0.3 m) X2\n"
            "route X1 (W5 10 mm2, 0.3 m) G1.+\nroute G1.- (W6 10 mm2, 0.3 m) X2\n";
        for (int i = 1; i <= loads; ++i) {
            const std::string n = std::to_string(i);
            text += "load E" + n + " { 24 V, 8 A, acts-as current }\nfuse F5" + n +
                    " { 15 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\nswitch S5" + n +
                    " { 80 V dc, carries 20 A, makes 20 A, breaks 20 A at 80 V dc }\nroute X1 (W5" + n +
                    " 2.5 mm2, 0.3 m) F5" + n + " (W6" + n + " 2.5 mm2, 0.3 m) S5" + n + " (W7" + n +
                    " 2.5 mm2, 0.3 m) E" + n + " (W8" + n + " 2.5 mm2, 0.3 m) X2\n";
        }
        return severity_in(text, "overloaded-contact", "S1");
    };
    CHECK(barrow(2, "20 A") == Severity::error);
    CHECK(barrow(5, "20 A") == Severity::error);
    CHECK(barrow(5, "30 A") == Severity::warning);  // the loads together, and nothing else
    CHECK_FALSE(barrow(2, "30 A"));
}

TEST_CASE("a key that a mode forgets keeps no stop that stops nothing from being told") {
    const auto keyed = [](const std::string& states) {
        return severity_in(
            hoist(
                {{"controller U1 { ", "controller U1 { pin key supply 20 mA, "},
                 {"splice X1",
                  "switch S6 \"key\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
                  "route X1 (W60 1 mm2, 0.1 m) S6 (W61 1 mm2, 0.1 m) U1.key\n"
                  "switch S8 \"emergency stop\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc, rest closed "
                  "}\n"
                  "load H9 { 48 V, 10 W, acts-as power, works 30..60 V }\n"
                  "route X1 (W30 1 mm2, 0.3 m) S8 (W31 1 mm2, 0.3 m) H9 (W33 1 mm2, 0.3 m) Q1.P-\nsplice X1"},
                 {"after ready 3 s, K1 S1 closed", "after ready 3 s, K1 S1 " + states + "closed"}}),
            "idle-stop", "S8");
    };
    CHECK(keyed("S6 ") == Severity::error);
    CHECK(keyed("") == Severity::error);
}

TEST_CASE("a stop in the way of a key that a mode forgets is still told as one that only asks") {
    const auto asks = [](const std::string& states) {
        return severity_in(
            hoist({{"controller U1 { ", "controller U1 { pin key supply 20 mA, "},
                   {"splice X1",
                    "switch S6 \"key\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
                    "switch S8 \"emergency stop\" { 80 V dc, carries 5 A, breaks 2 A at 60 V dc, rest closed "
                    "}\n"
                    "route X1 (W60 1 mm2, 0.1 m) S6 (W61 1 mm2, 0.1 m) S8 (W62 1 mm2, 0.1 m) U1.key\nsplice "
                    "X1"},
                   {"after ready 3 s, K1 S1 closed", "after ready 3 s, K1 S1 " + states + "closed"}}),
            "idle-stop", "S8");
    };
    CHECK(asks("") == asks("S6 "));
}

TEST_CASE("a contradiction that is accepted leaves its mode judged") {
    const auto cook = [](const std::string& carries, const std::string& state, const std::string& accepted) {
        return severity_in(
            hoist(
                {{"splice X1",
                  "relay K8 { contacts nc, carries 5 A, makes 5 A, breaks 2 A at 60 V dc, coil 36 V 20 mA, "
                  "coil-works 25..60 V, suppression diode }\n"
                  "load H8 { 48 V, 10 W, acts-as power, works 30..60 V }\n"
                  "load E9 { 48 V, 30 A, acts-as current }\n"
                  "fuse F9 { 50 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
                  "switch S8 { 80 V dc, carries " +
                      carries +
                      ", makes 60 A, breaks 60 A at 60 V dc }\n"
                      "route F1.out (W86 16 mm2, 0.1 m) F9 (W87 16 mm2, 0.3 m) S8 (W88 16 mm2, 0.3 m) E9.+\n"
                      "route E9.- (W89 16 mm2, 0.3 m) Q1.P-\n"
                      "route X1 (W80 1 mm2, 0.3 m) K8.in\nroute K8.out (W81 1 mm2, 0.3 m) H8.+\n"
                      "route H8.- (W82 1 mm2, 0.3 m) Q1.P-\n"
                      "route S8.out (W85 1 mm2, 0.3 m) K8.A1\nroute K8.A2 (W84 1 mm2, 0.3 m) Q1.P-\n"
                      "mode cook { others at rest, S8 closed, E9 on, K8 " +
                      state + " }\n" + accepted + "splice X1"}}),
            "overloaded-contact", "S8");
    };
    const std::string accepted = "accept mode-contradicts on K8 because \"it is only for a lamp\"\n";
    CHECK(cook("20 A", "energised", "") == Severity::error);
    CHECK(cook("20 A", "released", accepted) == Severity::error);
    CHECK_FALSE(cook("50 A", "released", accepted));
}

TEST_CASE("every switch that joins two unlike packs by one touch is told of, whichever is accepted") {
    const auto joined = [](const std::string& switches) {
        return check_text(hoist(
            {{"splice X1",
              "pack B2 { voltage 20..27 V, resistance 40 mohm, capacity 10 Ah, discharge 30 A, charge 5 A }\n"
              "fuse F9 { 30 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\nsplice X9\n"
              "route B2.+ (W30 10 mm2, 0.1 m) F9 (W31 10 mm2, 0.8 m) X9\n"
              "route B2.- (W32 10 mm2, 0.8 m) Q1.P-\n" +
                  switches + "splice X1"}}));
    };
    const auto one = [](const std::string& n) {
        return "switch S" + n + " { 80 V dc, carries 60 A, breaks 40 A at 60 V dc }\nroute X9 (W6" + n +
               " 10 mm2, 0.1 m) S" + n + " (W7" + n + " 10 mm2, 0.1 m) F1.out\n";
    };
    const auto told = [](const Results& results, std::string_view subject) {
        return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& finding) {
            return finding.rule == "joined-packs" && finding.subject == subject && !finding.accepted &&
                   finding.severity == Severity::error;
        });
    };
    CHECK(told(joined(one("8")), "S8"));
    const Results both = joined(one("8") + one("9"));
    CHECK((told(both, "S8") && told(both, "S9")));
    const Results accepted =
        joined(one("8") + one("9") + "accept joined-packs on S8 because \"under lock\"\n");
    CHECK_FALSE(told(accepted, "S8"));
    CHECK(told(accepted, "S9"));
}

TEST_CASE("a hotter moment that may be too short hides no mode that surely heats a controller too far") {
    const auto heated = [](const std::string& drive, const std::string& modes) {
        return severity_in(
            hoist({{"regen none }",
                    "regen none\n  efficiency 95 %, rise 35 K at 30 A after 2 h, cuts-out-at 82 degC }"},
                   {"U1 draws 35 A, U1 phases 60 A }\n",
                    "U1 draws " + drive + ", U1 phases 60 A }\n" + modes}}),
            "cuts-out", "U1");
    };
    const std::string boost =
        "mode boost { like drive, U1 draws 39.5 A for 4 min then 0.5 A for 3 h repeating }\n";
    CHECK(heated("35 A", "") == Severity::error);
    CHECK(heated("35 A", boost) == Severity::error);
    CHECK(heated("15 A", boost) == Severity::warning);
}

}  // namespace withheld_test
