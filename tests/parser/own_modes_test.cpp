// Modes that the reader makes for a text without any.
#include <catch2/catch.hpp>

#include "tests/parser/resolve_support.hpp"

namespace own_modes_test {

using namespace loomward;

namespace {

const std::string pack =
    "loom 1\nharness \"Sack hoist\" { ambient 5..35 degC }\n"
    "pack B1 { voltage 40..54 V, resistance 30 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }\n";
const std::string lever =
    "switch S1 { 80 V dc, carries 30 A, breaks 16 A at 60 V dc }\n"
    "switch S2 { 80 V dc, carries 1 A, breaks 50 mA at 60 V dc, rest closed }\n";
const std::string drive =
    "controller U1 { input 30..60 V, capacitance 1 mF, regen none, supply-limit 20 A, pin main low-side 1 A "
    "}\n";

std::string own_modes(const std::string& text) {
    return model_of(text, "own mode");
}

}  // namespace

TEST_CASE("a text without modes gets modes at rest and with everything on") {
    CHECK(own_modes(pack + lever + drive +
                    "load E1 { 48 V, 20 W }\n"
                    "selector S3 { terminals 1 2 com, position off, position one 1 com, position two 2 com\n"
                    "  60 V dc, carries 60 A, breaks 30 A at 60 V dc }\n"
                    "relay K1 { contacts no, carries 10 A, breaks 2 A at 60 V dc, coil 48 V 15 mA\n"
                    "  suppression diode }\n") ==
          "mode at rest: S1 open (rest); S2 closed (rest); U1 off (rest); E1 on (rest); S3 at 0 "
          "(rest); K1 released (rest); U1.main off (rest);\n"
          "mode everything on: S1 closed (line); S2 closed (rest); U1 on draws limit phases limit (line); E1 "
          "on (rest); S3 at 1 (line); K1 energised (line); U1.main on (line);\n");
}

TEST_CASE("everything on is left out where it is the same as at rest") {
    CHECK(own_modes(pack + "load E1 { 48 V, 20 W }\n") == "mode at rest: E1 on (rest);\n");
}

TEST_CASE("of several controllers each is at its limit alone once, and a charger makes a mode of its own") {
    CHECK(own_modes(pack +
                    "controller U1 { input 30..60 V, capacitance 1 mF, regen none, supply-limit 20 A }\n"
                    "controller U2 { input 30..60 V, capacitance 1 mF, regen none, supply-limit 9 A }\n"
                    "charger G1 { output 54 V 5 A }\nload E1 { 48 V, 20 W }\n") ==
          "mode at rest: U1 off (rest); U2 off (rest); G1 off (rest); E1 on (rest);\n"
          "mode everything on: U1 on draws limit phases limit (line); U2 on draws limit phases limit (line); "
          "G1 off (rest); E1 on (rest);\n"
          "mode U1 at its limit: U1 on draws limit phases limit (line); U2 off (rest); G1 off (rest); E1 on "
          "(rest);\n"
          "mode U2 at its limit: U1 off (rest); U2 on draws limit phases limit (line); G1 off (rest); E1 on "
          "(rest);\n"
          "mode charging: U1 off (rest); U2 off (rest); G1 on delivers limit (line); E1 off (line);\n");
}

TEST_CASE("a text with one mode has no others, and what is made cannot be named in it") {
    CHECK(own_modes(pack + lever + "mode idle { others at rest }\n").empty());
    // No mode is offered that the text does not have.
    CHECK(model_of(pack + lever + "accept floating on S1 in idle because \"x\"\n") ==
          "6:26+4 there is no mode named 'idle' [unknown-mode]\n");
}

TEST_CASE("an inverter is at its limit with everything on, and in the mode of charging where it charges") {
    CHECK(own_modes(pack +
                    "inverter E1 { 2 kW, input 40..60 V, efficiency 90 %, capacitance 9 mF }\n"
                    "inverter E2 { 1 kW, input 40..60 V, efficiency 90 %, capacitance 4 mF, charges 54 V 9 A "
                    "}\n") ==
          "mode at rest: E1 off (rest); E2 off (rest);\n"
          "mode everything on: E1 on draws limit (line); E2 on draws limit (line);\n"
          "mode charging: E1 off (rest); E2 on delivers limit (line);\n");
}

}  // namespace own_modes_test
