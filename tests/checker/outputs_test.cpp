// Outputs that are joined, and outputs wired to their own ground.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace outputs_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Two devices with an output pin each, of these voltages, and what joins the two.
std::string devices(double one_V, double other_V) {
    return std::string(example_harness) +
           fmt::format(
               "device A1 {{ pin in supply 10 mA, pin out output {} V 50 mA, pin gnd return }}\n"
               "device A2 {{ pin in supply 10 mA, pin out output {} V 50 mA, pin gnd return }}\n"
               "route X1 (W30 1 mm2, 0.1 m) A1.in\nroute X1 (W31 1 mm2, 0.1 m) A2.in\n"
               "route A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\nroute A2.gnd (W33 1 mm2, 0.1 m) Q1.P-\n",
               one_V, other_V);
}
const std::string wire = "route A1.out (W34 1 mm2, 0.1 m) A2.out\n";
const std::string diodes =
    "diode V1 { 1 A, 100 V, drop 0.3 V }\ndiode V2 { 1 A, 100 V, drop 0.3 V }\nsplice X9 { method crimp }\n"
    "route A1.out (W34 1 mm2, 0.1 m) V1 (W35 1 mm2, 0.1 m) X9\n"
    "route A2.out (W36 1 mm2, 0.1 m) V2 (W37 1 mm2, 0.1 m) X9\n";

}  // namespace

TEST_CASE(
    "two outputs of one voltage that a wire, a plug or a splice joins are a warning; a diode parts them") {
    const std::string plug =
        "connector J9 { mate P9, half socket, contacts 1, carries 5 A, 90 V, takes 0.5..2.5 mm2, rated-at 30 "
        "degC, limit 105 degC }\nroute A1.out (W34 1 mm2, 0.1 m) J9.1 (W35 1 mm2, 0.1 m) A2.out\n";
    const std::string splice =
        "splice X9 { method crimp }\nroute A1.out (W34 1 mm2, 0.1 m) X9\nroute A2.out (W35 1 mm2, 0.1 m) "
        "X9\n";
    for (const std::string& joint : {wire, plug, splice}) {
        const Results joined = check_text(devices(5, 5) + joint);
        REQUIRE(finding_of(joined, "joined-outputs"));
        CHECK(finding_of(joined, "joined-outputs")->severity == Severity::warning);
        CHECK(finding_of(joined, "joined-outputs")->message == "the outputs A1.out and A2.out are joined");
    }
    CHECK_FALSE(finding_of(check_text(devices(5, 5) + diodes), "joined-outputs"));
    CHECK_FALSE(finding_of(check_text(devices(5, 5)), "joined-outputs"));
}

TEST_CASE(
    "outputs that differ by more than five percent are an error, one part in a thousand less a warning") {
    CHECK(finding_of(check_text(devices(10, 10.51) + wire), "joined-outputs")->severity == Severity::error);
    CHECK(finding_of(check_text(devices(10, 10.49) + wire), "joined-outputs")->severity == Severity::warning);
    CHECK(finding_of(check_text(devices(10.51, 10) + wire), "joined-outputs")->severity == Severity::error);
    CHECK(finding_of(check_text(devices(10.49, 10) + wire), "joined-outputs")->severity == Severity::warning);
}

TEST_CASE("outputs that a switch joins are a warning in a mode that closes it, else a note") {
    const std::string text = devices(5, 5) +
                             "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
                             "route A1.out (W34 1 mm2, 0.1 m) S9 (W35 1 mm2, 0.1 m) A2.out\n";
    CHECK(finding_of(check_text(text), "joined-outputs")->severity == Severity::note);
    CHECK(finding_of(check_text(text + "mode both { others at rest, S9 closed }\n"), "joined-outputs")
              ->severity == Severity::warning);
}

TEST_CASE(
    "outputs whose minus sides do not meet are not joined; nor are two pins of one device at one voltage") {
    const std::string apart =
        std::string(example_harness) +
        "converter D8 { input 30..60 V, output 12 V 1 A, efficiency 88 %, negative isolated, reverse "
        "blocked, "
        "capacitance 1 uF, spare out- }\nroute X1 (W30 1 mm2, 0.1 m) D8.in+\nroute D8.in- (W31 1 mm2, 0.1 m) "
        "Q1.P-\nroute D8.out+ (W32 1 mm2, 0.1 m) D1.out+\n";
    CHECK_FALSE(finding_of(check_text(apart), "joined-outputs"));
    CHECK(finding_of(check_text(apart + "route D8.out- (W33 1 mm2, 0.1 m) D1.out-\n"), "joined-outputs"));
    const auto one = [](const char* second) {
        return check_text(std::string(example_harness) +
                          "device A1 { pin in supply 10 mA, pin a output 5 V 50 mA, pin b output " + second +
                          " 50 mA, pin gnd return }\nroute X1 (W30 1 mm2, 0.1 m) A1.in\n"
                          "route A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\nroute A1.a (W34 1 mm2, 0.1 m) A1.b\n");
    };
    CHECK_FALSE(finding_of(one("5 V"), "joined-outputs"));
    CHECK(finding_of(one("12 V"), "joined-outputs")->severity == Severity::error);
}

TEST_CASE(
    "a knob that passes where it joins unlike outputs is a warning, where no position joins them a note") {
    const auto knob = [](double other_V, const std::string& positions) {
        return check_text(
            devices(10, other_V) + "splice X8 { method crimp }\nselector S9 { terminals a b lamp, " +
            positions +
            ", 80 V dc, carries 10 A, makes 20 A, breaks 5 A at 60 V dc }\n"
            "route A1.out (W34 1 mm2, 0.1 m) S9.a\nroute A2.out (W35 1 mm2, 0.1 m) S9.b\n"
            "route S9.lamp (W36 1 mm2, 0.1 m) X8\n"
            "mode low { others at rest, S9 at low }\nmode high { others at rest, S9 at high }\n");
    };
    const std::string apart = "position low a lamp, position high b lamp";
    const std::string passing = "position low a lamp, position mid a b, position high b lamp";
    // Every contact closed at once, which no knob can: a note at most.
    CHECK(finding_of(knob(12, apart), "joined-outputs")->severity == Severity::note);
    const Results unlike = knob(12, passing);
    const Finding* finding = finding_of(unlike, "joined-outputs");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "the outputs A1.out and A2.out are joined with selector S9 at mid");
    const Results alike = knob(10, passing);
    REQUIRE(finding_of(alike, "joined-outputs"));
    CHECK(finding_of(alike, "joined-outputs")->severity == Severity::note);
}

TEST_CASE("two chargers at one pack are left alone, an output pin on the pack is not") {
    const std::string fuses =
        "fuse F8 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
        "fuse F9 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n";
    const auto chargers = [&](const char* pole) {
        return check_text(
            std::string(example_harness) + fuses +
            "charger G8 { output 54.6 V 2 A, reverse blocked }\ncharger G9 { output 54.6 V 2 A, "
            "reverse blocked }\nstud X8\nroute X8 (W30 1 mm2, 0.1 m) F8 (W31 1 mm2, 0.1 m) G8 (W32 1 mm2, "
            "0.1 m) Q1.P-\nroute X8 (W33 1 mm2, 0.1 m) F9 (W34 1 mm2, 0.1 m) G9 (W35 1 mm2, 0.1 m) "
            "Q1.P-\nroute X8 " +
            pole + "\n");
    };
    CHECK_FALSE(finding_of(chargers("(W36 1 mm2, 0.1 m) F1.out"), "joined-outputs"));
    // Behind a switch that the modes leave open.
    CHECK_FALSE(finding_of(
        chargers("(W36 1 mm2, 0.1 m) S9 (W37 1 mm2, 0.1 m) F1.out\nswitch S9 { 80 V dc, carries 5 A, "
                 "breaks 5 A at 60 V dc }"),
        "joined-outputs"));
    CHECK(finding_of(chargers("(W36 1 mm2, 0.1 m) H9 (W37 1 mm2, 0.1 m) Q1.P-\nload H9 { 48 V, 5 W }"),
                     "joined-outputs"));
    // Two voltages fight where a mode has both give and the pack parted from them.
    const auto parted = [&](const char* volts, const char* mode) {
        return check_text(
            std::string(example_harness) + fuses + "charger G8 { output " + volts +
            " 2 A, reverse blocked }\ncharger G9 { output 54.6 V 2 A, reverse blocked }\nstud X8\n"
            "route X8 (W30 1 mm2, 0.1 m) F8 (W31 1 mm2, 0.1 m) G8 (W32 1 mm2, 0.1 m) Q1.P-\n"
            "route X8 (W33 1 mm2, 0.1 m) F9 (W34 1 mm2, 0.1 m) G9 (W35 1 mm2, 0.1 m) Q1.P-\n"
            "route X8 (W36 1 mm2, 0.1 m) S9 (W37 1 mm2, 0.1 m) F1.out\n"
            "switch S9 { 80 V dc, carries 5 A, breaks 5 A at 60 V dc }\nmode shore { others at "
            "rest, " +
            mode + " }\n");
    };
    const Results fight = parted("48 V", "G8 G9 delivers 2 A");
    REQUIRE(finding_of(fight, "joined-outputs"));
    CHECK(finding_of(fight, "joined-outputs")->severity == Severity::warning);
    CHECK_FALSE(finding_of(parted("48 V", "S9 closed, G8 G9 delivers 2 A"), "joined-outputs"));
    CHECK_FALSE(finding_of(parted("48 V", "G8 delivers 2 A"), "joined-outputs"));
    CHECK_FALSE(finding_of(parted("54 V", "G8 G9 delivers 2 A"), "joined-outputs"));
    const auto pin = [](const char* output_V) {
        return check_text(std::string(example_harness) + "device A1 { pin in supply 10 mA, pin out output " +
                          output_V +
                          " 50 mA, pin gnd return }\nroute X1 (W30 1 mm2, 0.1 m) A1.in\n"
                          "route A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\nroute A1.out (W34 1 mm2, 0.1 m) F1.out\n");
    };
    CHECK(finding_of(pin("5 V"), "joined-outputs")->severity == Severity::error);
    // 54.6 V over 1.05 is 52 V.
    CHECK(finding_of(pin("51.9 V"), "joined-outputs")->severity == Severity::error);
    CHECK(finding_of(pin("52.1 V"), "joined-outputs")->severity == Severity::warning);
}

TEST_CASE("an output wired to its own ground is told, through a wire, a plug or another device's ground") {
    const std::string alone = std::string(example_harness) +
                              "device A1 { pin in supply 10 mA, pin out output 5 V 50 mA, pin gnd return }\n"
                              "route X1 (W30 1 mm2, 0.1 m) A1.in\nroute A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\n";
    for (const char* joint :
         {"route A1.out (W34 1 mm2, 0.1 m) A1.gnd\n", "route A1.out (W34 1 mm2, 0.1 m) D1.in-\n",
          "connector J9 { mate P9, half socket, contacts 1, carries 5 A, 90 V, takes 0.5..2.5 mm2, "
          "rated-at 30 degC, limit 105 degC }\n"
          "route A1.out (W34 1 mm2, 0.1 m) J9.1 (W35 1 mm2, 0.1 m) Q1.P-\n"}) {
        INFO(joint);
        const Results shorted = check_text(alone + joint);
        REQUIRE(finding_of(shorted, "shorted-output"));
        CHECK(finding_of(shorted, "shorted-output")->severity == Severity::error);
        CHECK(finding_of(shorted, "shorted-output")->subject == "A1");
    }
    CHECK_FALSE(finding_of(
        check_text(alone + "load H9 { 5 V, 0.1 W }\nroute A1.out (W34 1 mm2, 0.1 m) H9 (W35 1 mm2, "
                           "0.1 m) A1.gnd\n"),
        "shorted-output"));
}

TEST_CASE("a switch that shorts an output counts where a mode closes it") {
    const std::string text = std::string(example_harness) +
                             "device A1 { pin in supply 10 mA, pin out output 5 V 50 mA, pin gnd return }\n"
                             "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
                             "route X1 (W30 1 mm2, 0.1 m) A1.in\nroute A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\n"
                             "route A1.out (W34 1 mm2, 0.1 m) S9 (W35 1 mm2, 0.1 m) A1.gnd\n";
    CHECK_FALSE(finding_of(check_text(text), "shorted-output"));
    CHECK(finding_of(check_text(text + "mode pressed { others at rest, S9 closed }\n"), "shorted-output"));
}

TEST_CASE("a driver pin on the pole that it has to stand off shorts the source once it is on") {
    const auto driver = [](const char* kind, const char* pole) {
        return check_text(
            std::string(example_harness) +
            fmt::format("device A1 {{ pin in supply 10 mA, pin out {} 1 A, pin gnd return }}\n"
                        "route X1 (W30 1 mm2, 0.1 m) A1.in\nroute A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\n"
                        "route A1.out (W34 1 mm2, 0.1 m) {}\n",
                        kind, pole));
    };
    CHECK(finding_of(driver("low-side", "A1.in"), "shorted-output"));
    CHECK_FALSE(finding_of(driver("low-side", "A1.gnd"), "shorted-output"));
    CHECK(finding_of(driver("high-side", "A1.gnd"), "shorted-output"));
    CHECK_FALSE(finding_of(driver("high-side", "A1.in"), "shorted-output"));
}

namespace {

// A logger behind a switch whose 5 V output feeds a sensor; `gives` of the output.
Results logger(std::string_view gives, std::string_view feed = "S9", std::string_view more = {}) {
    return check_text(std::string(example_harness) + "device A1 { pin in supply 10 mA, pin out output 5 V " +
                      std::string(gives) +
                      ", pin gnd return }\ndevice A2 { pin in supply 30 mA, pin gnd return }\n"
                      "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
                      "route X1 (W30 1 mm2, 0.1 m) " +
                      std::string(feed) +
                      " (W31 1 mm2, 0.1 m) A1.in\n"
                      "route A1.gnd (W32 1 mm2, 0.1 m) Q1.P-\n"
                      "route A1.out (W33 1 mm2, 0.1 m) A2.in\nroute A2.gnd (W34 1 mm2, 0.1 m) A1.gnd\n" +
                      std::string(more));
}

}  // namespace

TEST_CASE("the output of a device gives nothing while the device has no supply") {
    const std::string on = "mode measure { others at rest, S1 S9 closed, K1 closed }\n";
    // 30 mA asked of 20: told of the mode that feeds the logger, and of no other.
    const Results small = logger("20 mA", "S9", on);
    REQUIRE(finding_of(small, "overloaded-converter"));
    CHECK(small.harness->modes[finding_of(small, "overloaded-converter")->mode.index()].name == "measure");
    CHECK_FALSE(finding_of(logger("40 mA", "S9", on), "overloaded-converter"));
    // No mode closes the switch: nothing is asked of it.
    CHECK_FALSE(finding_of(logger("20 mA"), "overloaded-converter"));
    // A resistor in the supply in place of the switch leaves it live.
    const std::string resistor = "resistor R9 { 10 ohm, 10 W }\n";
    CHECK(finding_of(logger("20 mA", "R9", resistor), "overloaded-converter"));
    CHECK_FALSE(finding_of(logger("40 mA", "R9", resistor), "overloaded-converter"));
}

TEST_CASE("a regulator behind a panel takes what there is where a pack holds its output, and else is told") {
    const auto barge = [](std::string_view output) {
        return check_text(fmt::format(
            "loom 1\nharness \"Peat barge\" {{ ambient 0..35 degC, insulation xlpe 105 degC }}\n"
            "pack B1 {{ voltage 22..28.8 V, resistance 8..12 mohm, capacity 110 Ah, discharge 80 A, charge "
            "40 A }}\n"
            "charger G1 \"panels\" {{ output 90 V 6 A, reverse blocked }}\n"
            "converter D1 {{ input 20..100 V, output 28.8 V 15 A, efficiency 95 %, negative common, reverse "
            "blocked, "
            "spare out- }}\n"
            "fuse F1 {{ 30 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5, rated-at 23 degC }}\n"
            "load H1 {{ 24 V, 15 A, acts-as current, works 18..31 V }}\n"
            "route G1.+ (W1 4 mm2, 2 m, red) D1.in+\nroute G1.- (W2 4 mm2, 2 m, black) D1.in-\n{}"
            "route D1.out+ (W5 10 mm2, 0.3 m, red) H1 (W6 10 mm2, 0.3 m, black) D1.in-\n"
            "mode off {{ others at rest }}\nmode sun {{ G1 delivers 3 A }}\n",
            output));
    };
    // 3 A of 90 V for an output of 432 W.
    CHECK_FALSE(finding_of(barge("route D1.out+ (W3 10 mm2, 0.3 m, red) F1 (W4 10 mm2, 0.15 m, red) B1.+\n"
                                 "route B1.- (W7 10 mm2, 0.3 m, black) D1.in-\n"),
                           "cannot-be-fed"));
    CHECK(finding_of(barge("route B1.+ (W3 10 mm2, 0.15 m, red) F1 (W4 10 mm2, 0.3 m, red) H1.+\n"
                           "route B1.- (W7 10 mm2, 0.3 m, black) X1\nsplice X1 { method crimp }\n"),
                     "cannot-be-fed"));
}

TEST_CASE(
    "a battery that is full above what a converter gives drives it backwards where it lets a current pass") {
    const auto link = [](const std::string& output, const std::string& reverse) {
        return check_text(std::string(example_harness) +
                          "pack B2 { voltage 10.8..14.4 V, resistance 10 mohm, capacity 60 Ah, discharge 90 "
                          "A, charge 15 A }\n"
                          "part tap is fuse { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                          "fuse F8 is tap\nfuse F9 is tap\n"
                          "converter D9 { input 30..60 V, output " +
                          output + " 5 A, efficiency 88 %, negative common, spare out-, reverse " + reverse +
                          " }\n"
                          "route F1.out (W30 2.5 mm2, 0.1 m) F8 (W31 2.5 mm2, 0.3 m) D9.in+\n"
                          "route D9.in- (W32 2.5 mm2, 0.3 m) Q1.P-\n"
                          "route B2.+ (W33 2.5 mm2, 0.1 m) F9 (W34 2.5 mm2, 0.3 m) D9.out+\n"
                          "route B2.- (W35 2.5 mm2, 0.3 m) Q1.P-\n");
    };
    const Results driven = link("12 V", "passes");
    const Finding* finding = finding_of(driven, "joined-outputs", "D9");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->beside == "the pack drives a current backwards into it");
    CHECK(finding->working.back() == "14.4 V > 1.05 x 12 V");
    CHECK_FALSE(finding_of(link("12 V", "blocked"), "joined-outputs"));
    CHECK_FALSE(finding_of(link("13.73 V", "passes"), "joined-outputs"));
    CHECK(finding_of(link("13.7 V", "passes"), "joined-outputs"));
}

}  // namespace outputs_test
