// A board of bars behind an isolator, with what people hang on it: what stays live, what charges whom, which
// contact closes last, and what flows where packs lie side by side.
#include <fmt/format.h>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/told.hpp"

namespace board_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string board(const std::string& rest, const std::string& modes, const std::string& bar = "150 A") {
    return "loom 1\nharness \"hay dryer\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
           "pack B1 { voltage 44..58.4 V, resistance 12..20 mohm, capacity 200 Ah, discharge 150 A, charge "
           "80 A }\n"
           "fuse F1 { 125 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
           "part branch is fuse { 100 V dc, breaks 10 kA at 100 V dc, curve ul248-14 }\n"
           "switch S1 \"isolator\" { 80 V dc, carries 250 A, makes 300 A, breaks 250 A at 60 V dc }\n"
           "part rocker is switch { 80 V dc, carries 16 A, makes 20 A, breaks 10 A at 60 V dc }\n"
           "busbar X1 { studs 10, carries 250 A }\nbusbar X2 { studs 10, carries " +
           bar +
           " }\n"
           "fuse F2 is branch { 3 A, clears 30 A2s }\nswitch S2 \"lamp\" is rocker\n"
           "load E1 \"lamp\" { 48 V, 40 W, acts-as power, works 40..60 V }\n"
           "route B1.+ (W1 50 mm2, 0.1 m) F1 (W2 50 mm2, 0.2 m) S1 (W3 50 mm2, 0.2 m) X1.1\n"
           "route X2.1 (W4 50 mm2, 0.2 m) B1.-\n"
           "route X1.2 (W5 1.5 mm2, 0.1 m) F2 (W6 1.5 mm2, 1 m) S2 (W7 1.5 mm2, 1 m) E1 (W8 1.5 mm2, 2 m) "
           "X2.2\n" +
           rest + "mode off { others at rest }\nmode light { S1 S2 closed, others at rest }\n" + modes;
}

}  // namespace

TEST_CASE(
    "a resistor or lamp across an isolator keeps the board live, across the switch of one lamp it glows") {
    const auto across = [](const std::string& part, const std::string& from, const std::string& to) {
        return board(part + "fuse F9 is branch { 1 A, clears 5 A2s }\nroute " + from +
                         " (W30 1 mm2, 0.1 m) F9 (W31 1 mm2, 0.2 m) R9 (W32 1 mm2, 0.3 m) " + to + "\n",
                     "");
    };
    const std::string resistor = "resistor R9 { 2.2 kohm, 5 W }\n";
    const std::string bulb = "load R9 { 48 V, 15 W, acts-as resistor }\n";
    for (const std::string& part : {resistor, bulb}) {
        const Told live = told(across(part, "F1.out", "S1.out"), "live-when-off", "S1");
        REQUIRE(live);
        CHECK(live.finding->severity == Severity::warning);
        CHECK(live.finding->message == "what lies behind switch S1 stays live when it is open");
        CHECK(figure(*live.finding, "voltage") == Approx(58.4));
        CHECK_FALSE(told(across(part, "S1.out", "X2.9"), "live-when-off", "S1"));
    }
    CHECK_FALSE(told(across(resistor, "F2.out", "S2.out"), "live-when-off"));
    // An inverter that could charge, and does not, is no source of its own.
    const auto inverter = [](const std::string& charges, const std::string& across_contact) {
        return told(
            board(
                "inverter E9 { 500 W, input 40..60 V, efficiency 90 %, capacitance 1 mF, standby 20 mA" +
                    charges +
                    " }\ncontactor K9 { 80 V dc, carries 40 A, makes 2 kA, breaks 40 A at 60 V dc, coil 48 V "
                    "100 mA, coil-works 36..60 V, suppression diode }\n"
                    "fuse F8 is branch { 25 A, clears 4000 A2s }\n"
                    "route X1.3 (W30 6 mm2, 0.1 m) F8 (W31 6 mm2, 0.2 m) K9 (W32 6 mm2, 0.2 m) E9 (W33 6 "
                    "mm2, "
                    "1 m) X2.3\nroute K9.in (W34 1 mm2, 0.1 m) K9.A1\nroute K9.A2 (W35 1 mm2, 0.3 m) X2.4\n" +
                    across_contact,
                "mode cook { S1 closed, K9 closed, E9 draws 100 W, others at rest }\n"),
            "live-when-off", "K9");
    };
    const std::string precharge =
        "resistor R9 { 33 ohm, 50 W, pulse 40 J }\nroute K9.in (W36 1 mm2, 0.1 m) R9 (W37 1 mm2, 0.1 m) "
        "K9.out\n";
    CHECK(inverter("", precharge));
    CHECK(inverter(", charges 54 V 8 A", precharge));
    CHECK_FALSE(inverter(", charges 54 V 8 A", ""));
    // 58.4 V / 30 kohm = 1.9 mA: not felt (IEC 60479-1).
    CHECK_FALSE(told(across("resistor R9 { 30 kohm, 5 W }\n", "F1.out", "S1.out"), "live-when-off"));
    CHECK(told(across("resistor R9 { 29 kohm, 5 W }\n", "F1.out", "S1.out"), "live-when-off"));
}

TEST_CASE(
    "a charger that a mode has deliver with the pack cut off is told, with its own plug pulled it is noted") {
    const std::string charger =
        "charger G9 { output 58.4 V 15 A, reverse blocked }\nfuse F9 is branch { 25 A, clears 4000 A2s }\n"
        "connector J9 { mate P9, half socket, contacts 2, carries 25 A, 80 V, takes 4..10 mm2, rated-at 30 "
        "degC, "
        "limit 105 degC }\n"
        "route X1.3 (W30 6 mm2, 0.1 m) F9 (W31 6 mm2, 1 m) J9.1 (W33 6 mm2, 1 m) G9.+\n"
        "route G9.- (W34 6 mm2, 1 m) P9.2 (W32 6 mm2, 1 m) X2.3\n";
    const auto with = [&](const std::string& mode) {
        return told(board(charger, "mode shore { " + mode + ", others at rest }\n"), "no-pack-to-charge");
    };
    CHECK_FALSE(with("S1 closed, J9 mated, G9 delivers 10 A"));
    const Told parted = with("S1 closed, J9 unmated, G9 delivers 10 A");
    REQUIRE(parted);
    CHECK(parted.finding->severity == Severity::note);
    CHECK(parted.finding->beside == "its plug is parted in this mode: nothing takes its current");
    CHECK_FALSE(with("J9 mated"));
    const Told open = with("J9 mated, G9 delivers 10 A");
    REQUIRE(open);
    CHECK(open.finding->subject == "G9");
    CHECK(open.finding->message == "charger G9 delivers in mode shore and finds no pack");
    CHECK(open.finding->severity == Severity::warning);
    // A converter on the same bar takes the current if it is one for so much, unless the mode has it off.
    const auto with_converter = [&](const std::string& state, const std::string& amps = "80") {
        return told(
            board(charger + "converter D9 { input 40..60 V, output 12 V " + amps +
                      " A, efficiency 90 %, negative common, reverse blocked }\n"
                      "route X1.4 (W35 2.5 mm2, 0.2 m) D9.in+\nroute D9.in- (W36 2.5 mm2, 0.2 m) X2.4\n",
                  "mode shore { J9 mated, G9 delivers 10 A, D9 " + state + ", others at rest }\n"),
            "no-pack-to-charge", "G9");
    };
    CHECK(with_converter("off"));
    // Behind a diode that lets the pack feed it, and nothing back; the other way round it charges.
    const auto behind = [&](const std::string& from, const std::string& to) {
        return told(board("charger G9 { output 58.4 V 15 A, reverse blocked }\nfuse F9 is branch { 25 A, "
                          "clears 4000 A2s }\n"
                          "diode D9 { 40 A, 100 V, drop 0.7 V }\nroute X1.3 (W30 6 mm2, 0.1 m) F9 (W31 6 "
                          "mm2, 0.2 m) D9." +
                              from + "\nroute D9." + to +
                              " (W32 6 mm2, 0.3 m) G9.+\nroute G9.- (W33 6 mm2, 1 m) X2.3\n",
                          "mode shore { S1 closed, G9 delivers 10 A, others at rest }\n"),
                    "no-pack-to-charge", "G9");
    };
    const Told blocked = behind("A", "K");
    REQUIRE(blocked);
    CHECK(blocked.finding->working.back() == "a diode on the way to a pack lies against its current");
    CHECK_FALSE(behind("K", "A"));
    CHECK_FALSE(with_converter("on"));
    CHECK(with_converter("on", "5"));  // 60 W of 876 W
    // The plus of one pack and the minus of another are no pack: the first one's management is open.
    const auto beside = [&](const std::string& minus) {
        return told(
            std::string(example_harness) +
                "charger G9 { output 54.6 V 10 A, reverse blocked }\n"
                "fuse F9 { 20 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                "route F1.out (W30 2.5 mm2, 0.15 m, red) F9 (W31 2.5 mm2, 1 m, red) G9 (W32 2.5 mm2, 1 m, "
                "black) Q1.P-\n"
                "pack B2 { voltage 39..54.6 V, resistance 40 mohm, capacity 18 Ah, discharge 30 A, charge 15 "
                "A }\nfuse F8 { 20 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                "load E8 { 48 V, 100 W, acts-as power, works 30..60 V }\n"
                "route B2.+ (W40 2.5 mm2, 0.15 m, red) F8 (W41 2.5 mm2, 0.3 m, red) E8 (W42 2.5 mm2, 0.5 m, "
                "black) Q1.P-\nroute B2.- (W43 2.5 mm2, 0.2 m, black) Q1.P-\n"
                "mode shore { others at rest, " +
                minus + "G9 delivers 10 A }\n",
            "no-pack-to-charge", "G9");
    };
    const Told crossed = beside("Q1 open, ");
    REQUIRE(crossed);
    CHECK(crossed.finding->working.front() == "it finds the plus of one pack and the minus of another");
    CHECK_FALSE(beside(""));
    // An inverter that charges is no generator before a converter.
    const std::string inverter =
        "inverter E9 { 1 kW, input 40..60 V, efficiency 90 %, capacitance 1 mF, standby 200 mA, charges 58.4 "
        "V 15 "
        "A }\nfuse F9 is branch { 40 A, clears 4000 A2s }\n"
        "route X1.3 (W30 6 mm2, 0.1 m) F9 (W31 6 mm2, 1 m) E9 (W34 6 mm2, 1 m) X2.3\n"
        "converter D9 { input 40..60 V, output 12 V 5 A, efficiency 90 %, negative common, reverse "
        "blocked }\nroute X1.4 (W35 2.5 mm2, 0.2 m) D9.in+\nroute D9.in- (W36 2.5 mm2, 0.2 m) X2.4\n";
    const auto of_inverter = [&](const std::string& mode) {
        return told(board(inverter, "mode shore { " + mode + "E9 delivers 10 A, others at rest }\n"),
                    "no-pack-to-charge", "E9");
    };
    CHECK(of_inverter("D9 on, "));
    CHECK_FALSE(of_inverter("S1 closed, D9 on, "));
}

TEST_CASE("a contactor whose coil hangs behind the isolator closes last, whatever one mode closes together") {
    const auto heater = [](const std::string& makes, const std::string& coil_from) {
        return told(
            board(
                "contactor K1 { carries 60 A, makes " + makes +
                    ", breaks 60 A at 60 V dc, coil 48 V 200 mA, coil-works 36..60 V, suppression diode }\n"
                    "fuse F8 is branch { 50 A, clears 9000 A2s }\nfuse F9 is branch { 2 A, clears 20 A2s }\n"
                    "switch S9 is rocker\n"
                    "load E9 { 48 V, 25 A, acts-as current, works 40..60 V, inrush 90 A for 200 ms }\n"
                    "route X1.3 (W30 16 mm2, 0.1 m) F8 (W31 16 mm2, 0.5 m) K1 (W32 16 mm2, 0.5 m) E9 (W33 16 "
                    "mm2, 1 m) X2.3\n"
                    "route " +
                    coil_from +
                    " (W34 1.5 mm2, 0.1 m) F9 (W35 1.5 mm2, 0.5 m) S9 (W36 1.5 mm2, 0.5 m) K1.A1\n"
                    "route K1.A2 (W37 1.5 mm2, 0.5 m) X2.4\n",
                "mode heat { S1 S9 closed, K1 closed, others at rest }\n"),
            "making-current", "K1");
    };
    CHECK(heater("89 A", "X1.4"));
    CHECK_FALSE(heater("91 A", "X1.4"));
    // Fed before the isolator it may be in already, and the isolator makes the current.
    CHECK_FALSE(heater("89 A", "F1.out"));
}

TEST_CASE("what charges slowly behind a resistor is no part of the surge of a small capacitor beside it") {
    const auto inverter = [](const std::string& precharge) {
        return told(
            board(
                "controller U1 { input 40..60 V, capacitance 60 mF, supply-limit 40 A, phase-peak 60 A, "
                "regen "
                "none, spare U V W }\n"
                "fuse F9 { 5 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-3 }\nresistor R9 { " +
                    precharge +
                    ", pulse 60 J }\nswitch S9 is rocker\n"
                    "capacitor C9 { 47 uF, 80 V }\n"
                    "route X1.3 (W30 1.5 mm2, 0.1 m) F9 (W31 1.5 mm2, 0.3 m) S9 (W32 1.5 mm2, 0.3 m) R9 (W33 "
                    "1.5 "
                    "mm2, 0.3 m) U1.+\nroute U1.- (W34 10 mm2, 0.5 m) X2.3\n"
                    "route X1.4 (W35 1.5 mm2, 0.1 m) C9.+\nroute C9.- (W36 1.5 mm2, 0.3 m) X2.4\n",
                "mode fill { S1 S9 closed, others at rest }\n"),
            "charging-surge");
    };
    CHECK_FALSE(inverter("68 ohm, 25 W"));
    CHECK(inverter("100 mohm, 25 W"));
}

TEST_CASE("a bleed that takes for good less than its rated power needs no pulse rating") {
    const auto bleed = [](const std::string& resistor) {
        const std::string text = board(
            "controller U1 { input 40..90 V, capacitance 6 mF, supply-limit 40 A, phase-peak 60 A, regen "
            "none, spare U V W }\n"
            "resistor R9 { " +
                resistor +
                " }\nroute X1.3 (W30 10 mm2, 0.1 m) U1.+\nroute U1.- (W34 10 mm2, 0.5 m) X2.3\n"
                "route X1.4 (W35 1.5 mm2, 0.1 m) R9 (W36 1.5 mm2, 0.3 m) X2.4\n",
            "mode ready { S1 closed, others at rest }\n");
        return told(replaced(text, "44..58.4 V", "60..84 V"), "precharge-resistor", "R9");
    };
    // 84 V^2 / 1 kohm = 7.06 W.
    CHECK_FALSE(bleed("1 kohm, 7.2 W, pulse 1 J"));
    CHECK(bleed("1 kohm, 6.9 W, pulse 1 J"));
}

TEST_CASE(
    "a meter on a small fuse, with a pin made for the voltage, is a note; a larger fuse or a lower pin "
    "more") {
    const auto meter = [](const std::string& fuse, const std::string& pin) {
        return told(board("device A1 \"meter\" { pin v signal " + pin +
                              ", pin minus return }\nfuse F9 is branch { " + fuse +
                              " }\nroute F1.out (direct) F9 (W30 0.5 mm2, 2 m) A1.v\nroute A1.minus (W31 0.5 "
                              "mm2, 2 m) X2.3\n",
                          ""),
                    "signal-current", "W30");
    };
    CHECK(meter("1 A, clears 5 A2s", "60 V").finding->severity == Severity::note);
    CHECK(meter("6 A, clears 60 A2s", "60 V").finding->severity == Severity::warning);
    CHECK(meter("1 A, clears 5 A2s", "58 V").finding->severity == Severity::warning);
}

TEST_CASE(
    "a minus bar of two packs by diodes carries what both main fuses let through, not their branches too") {
    const auto packs = [](const std::string& bar) {
        return told(
            board("pack B2 { voltage 44..58.4 V, resistance 12..20 mohm, capacity 100 Ah, discharge 80 A, "
                  "charge "
                  "40 A }\nfuse F3 is branch { 50 A, clears 9000 A2s }\nfuse F4 is branch { 50 A, clears "
                  "9000 A2s "
                  "}\ndiode D1 { 100 A, 100 V, drop 0.6 V }\ndiode D2 { 100 A, 100 V, drop 0.6 V }\nstud X5\n"
                  "load E5 { 48 V, 30 A, acts-as current, works 40..60 V }\n"
                  "route X1.3 (W30 16 mm2, 0.2 m) F3 (W31 16 mm2, 0.2 m) D1 (W32 16 mm2, 0.1 m) X5\n"
                  "route B2.+ (W33 16 mm2, 0.1 m) F4 (W34 16 mm2, 0.2 m) D2 (W35 16 mm2, 0.1 m) X5\n"
                  "route X5 (W36 25 mm2, 0.2 m) E5 (W37 25 mm2, 0.2 m) X2.3\nroute X2.4 (W38 16 mm2, 0.2 m) "
                  "B2.-\n",
                  "", bar),
            "rated-below-guard", "X2");
    };
    // In through the loads 50 A + 50 A and the lamp's 3 A, out by two packs: 103 A.
    CHECK_FALSE(packs("104 A"));
    CHECK(packs("99 A"));
}

TEST_CASE(
    "electronics on the lead of a starting motor drop out; a lamp dims, and a pack that sags is none of it") {
    const auto pump = [](const std::string& lead, const std::string& load, const std::string& resistance) {
        const std::string text = board(
            "fuse F8 is branch { 40 A, clears 9000 A2s }\nswitch S9 { 80 V dc, carries 60 A, makes 200 A, "
            "breaks "
            "60 A at 60 V dc }\nstud X8\nstud X9\n"
            "load M9 { 48 V, 8 A, acts-as current, works 20..60 V, inrush 80 A for 500 ms }\n" +
                load + "route X1.3 (W30 50 mm2, 0.1 m) F8 (W31 " + lead + ") X8\nroute X9 (W32 " + lead +
                ") X2.3\nroute X8 (W33 16 mm2, 0.3 m) S9 (W34 16 mm2, 0.3 m) M9 (W35 16 mm2, 0.3 m) X9\n"
                "route X8 (W36 1 mm2, 0.3 m) E9 (W37 1 mm2, 0.3 m) X9\n",
            "mode pump { S1 S9 closed, others at rest }\n");
        return told(replaced(text, "resistance 12..20 mohm", "resistance " + resistance), "starting-sag",
                    "E9");
    };
    const std::string thin = "6 mm2, 8 m", thick = "50 mm2, 1 m";
    const std::string radio = "load E9 \"radio\" { 48 V, 12 W, acts-as power, works 40..60 V }\n";
    const std::string bulb = "load E9 \"bulb\" { 48 V, 12 W, acts-as resistor, works 40..60 V }\n";
    // 80 A x 2 x 8 m x 3.4 mohm/m (6 mm2, IEC 60228) = 4.4 V, from 44 V less what the pack loses.
    CHECK(pump(thin, radio, "2..3 mohm"));
    CHECK_FALSE(pump(thick, radio, "2..3 mohm"));
    CHECK_FALSE(pump(thin, bulb, "2..3 mohm"));
    CHECK_FALSE(pump(thick, radio, "60..90 mohm"));
}

TEST_CASE(
    "fuses joined behind by a wire or a joint are told, whatever hangs on each, over a switch they are not") {
    const auto heaters = [](const std::string& joined) {
        return told(
            board("fuse F8 is branch { 12 A, clears 500 A2s }\nfuse F9 is branch { 20 A, clears 1500 A2s }\n"
                  "switch S9 is rocker\nsplice X8\nsplice X9\n"
                  "load E8 { 48 V, 5 A, acts-as current, works 40..60 V }\n"
                  "load E9 { 48 V, 6 A, acts-as current, works 40..60 V }\n"
                  "route X1.3 (W30 4 mm2, 0.1 m) F8 (W31 4 mm2, 0.5 m) X8 (W32 4 mm2, 1 m) E8 (W33 4 mm2, "
                  "1 m) X2.3\n"
                  "route X1.4 (W34 4 mm2, 0.1 m) F9 (W35 4 mm2, 0.5 m) X9 (W36 4 mm2, 1 m) E9 (W37 4 mm2, "
                  "1 m) X2.4\n" +
                      joined,
                  ""),
            "parallel-devices");
    };
    CHECK_FALSE(heaters(""));
    CHECK_FALSE(heaters("route X8 (W38 4 mm2, 0.3 m) S9 (W39 4 mm2, 0.3 m) X9\n"));
    for (const std::string joined : {"route X8 (W38 4 mm2, 0.3 m) X9\n", "route X8 (direct) X9\n"}) {
        const Told both = heaters(joined);
        REQUIRE(both);
        CHECK(both.finding->severity == Severity::warning);
        CHECK(both.finding->message == "F8 and F9 are joined at both ends");
        CHECK(both.finding->beside == "what hangs behind one of them has both: 12 A + 20 A");
    }
}

TEST_CASE("a fuse whose own points have it open at its rated current or below is told, above it is not") {
    const auto point = [](const std::string& current) {
        return told(
            board("fuse F9 is branch { 20 A, clears 1500 A2s, point " + current +
                      " 10..60 s }\n"
                      "load E9 { 48 V, 6 A, acts-as current, works 40..60 V }\n"
                      "route X1.4 (W34 4 mm2, 0.1 m) F9 (W35 4 mm2, 0.5 m) E9 (W37 4 mm2, 1 m) X2.4\n",
                  ""),
            "opens-below-rating", "F9");
    };
    const Told below = point("19.9 A");
    REQUIRE(below);
    CHECK(below.finding->severity == Severity::warning);
    CHECK(figure(*below.finding, "rated") == Approx(20));
    CHECK(point("20 A"));
    CHECK_FALSE(point("20.1 A"));
}

TEST_CASE("a pack of which one pole is wired feeds nothing, and one with a tap in use does") {
    const auto second = [](const std::string& rest) {
        return told(
            board("pack B2 { cells 16s4p, cell-voltage 2.8..3.6 V, cell-resistance 20 mohm, cell-capacity 3 "
                  "Ah, taps 8, discharge 20 A, charge 5 A }\n"
                  "fuse F9 is branch { 12 A, clears 500 A2s }\n"
                  "load E9 { 24 V, 1 A, acts-as current }\n"
                  "route B2.+ (W34 4 mm2, 0.1 m) F9 (W35 4 mm2, 0.5 m) E9 (W37 4 mm2, 1 m) X2.4\n" +
                      rest,
                  ""),
            "open-ended", "B2");
    };
    const Told lone = second("");
    REQUIRE(lone);
    CHECK(lone.finding->severity == Severity::warning);
    CHECK(lone.finding->beside == "B2.-, B2.t8");
    const Told tapped = second("route B2.t8 (W38 4 mm2, 0.5 m) X2.5\n");
    REQUIRE(tapped);
    CHECK(tapped.finding->severity == Severity::note);
}

TEST_CASE(
    "a minus bar carries what the main fuse lets through, not the sum of the branches, whatever a drive "
    "returns") {
    const auto drive = [](const std::string& bar) {
        return told(
            board(
                "fuse F8 is branch { 80 A, clears 20000 A2s }\nfuse F9 is branch { 100 A, clears 30000 A2s "
                "}\n"
                "controller U8 { input 30..60 V, capacitance 1 mF, phase-peak 90 A, supply-limit 50 A, regen "
                "5 A, "
                "spare U V W }\n"
                "load E9 { 48 V, 40 A, acts-as current, works 40..60 V }\n"
                "route X1.3 (W30 25 mm2, 0.1 m) F8 (W31 25 mm2, 0.5 m) U8.+\nroute U8.- (W32 25 mm2, 0.5 m) "
                "X2.3\n"
                "charger G7 { output 58.4 V 5 A, reverse blocked }\nfuse F7 is branch { 10 A, clears 400 A2s "
                "}\n"
                "route X1.5 (W36 4 mm2, 0.1 m) F7 (W37 4 mm2, 0.5 m) G7 (W38 4 mm2, 0.5 m) X2.5\n"
                "route X1.4 (W33 16 mm2, 0.1 m) F9 (W34 16 mm2, 0.5 m) E9 (W35 16 mm2, 0.5 m) X2.4\n",
                "", bar),
            "rated-below-guard", "X2");
    };
    // F1 lets 125 A through and the drive gives 5 A back, the charger 5 A; F8 + F9 + F2 would be 183 A.
    CHECK_FALSE(drive("140 A"));
    CHECK(drive("124 A"));
}

TEST_CASE(
    "a converter that may pass backwards does not make the branches of a bar add up beyond the main fuse") {
    const auto converted = [](const std::string& bar) {
        return told(
            board("fuse F8 is branch { 80 A, clears 20000 A2s }\nfuse F9 is branch { 100 A, clears 30000 A2s "
                  "}\n"
                  "load E8 { 48 V, 40 A, acts-as current, works 40..60 V }\n"
                  "load E9 { 48 V, 40 A, acts-as current, works 40..60 V }\n"
                  "route X1.3 (W30 25 mm2, 0.1 m) F8 (W31 25 mm2, 0.5 m) E8 (W32 25 mm2, 0.5 m) X2.3\n"
                  "route X1.4 (W33 25 mm2, 0.1 m) F9 (W34 25 mm2, 0.5 m) E9 (W35 25 mm2, 0.5 m) X2.4\n"
                  "fuse F7 is branch { 10 A, clears 400 A2s }\n"
                  "converter D7 { input 40..60 V, output 12 V 8 A, efficiency 90 %, negative common, reverse "
                  "passes, capacitance 100 uF }\n"
                  "fuse F6 is branch { 10 A, clears 400 A2s }\nload E7 { 12 V, 5 A, acts-as current }\n"
                  "route X1.5 (W36 4 mm2, 0.1 m) F7 (W37 4 mm2, 0.5 m) D7.in+\nroute D7.in- (W38 4 mm2, 0.5 "
                  "m) X2.5\n"
                  "route D7.out+ (W39 4 mm2, 0.1 m) F6 (W40 4 mm2, 0.5 m) E7 (W41 4 mm2, 0.5 m) D7.out-\n",
                  "", bar),
            "rated-below-guard", "X2");
    };
    // F1 lets 125 A through and the converter gives 8 A; the branches alone come to 200 A and more.
    CHECK_FALSE(converted("134 A"));
    CHECK(converted("124 A"));
}

}  // namespace board_test
