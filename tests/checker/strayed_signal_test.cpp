// Signal leads that landed on a supply or on a minus, beside a signal pin that has none.
#include "tests/checker/told.hpp"

namespace strayed_signal_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A controller with a twist grip; `leads` are those of the grip and of what else there is.
std::string cart(const std::string& leads, const std::string& more = {},
                 const std::string& grip = "pin 5v supply 8 mA, pin gnd return, pin out signal") {
    return R"(loom 1
harness "Fern cart" { ambient 5..35 degC, insulation xlpe 90 degC }
pack B1 { voltage 40..54.6 V, resistance 25..40 mohm, capacity 20 Ah, discharge 60 A, charge 10 A }
fuse F1 { 40 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
controller U1 { input 30..60 V, capacitance 20 uF, phase-peak 70 A, supply-limit 30 A, regen none, spare U V W
  pin 5v output 5 V 60 mA, pin gnd return, pin grip signal, pin mode signal }
device A1 "grip" { )" +
           grip + R"( }
resistor R1 { 4.7 kohm, 0.25 W }
switch S1 { 60 V dc, carries 1 A, breaks 1 A at 60 V dc }
splice X1
route B1.+ (W1 6 mm2, 0.1 m, red) F1 (W2 6 mm2, 0.3 m, red) U1.+
route U1.- (W3 6 mm2, 0.3 m, black) B1.-
route U1.5v (W4 0.5 mm2, 1 m, red) A1.5v
route U1.gnd (W5 0.5 mm2, 1 m, black) A1.gnd
)" + more + leads;
}
std::optional<Severity> strayed(const std::string& text, std::string_view subject = "U1") {
    return gravest_of(check_text(text), "strayed-signal", subject);
}

}  // namespace

TEST_CASE("a signal lead on the supply pin of a sensor whose signal pin has none is told") {
    const Told astray = told(cart("route U1.grip (W6 0.5 mm2, 1 m, white) A1.5v\n"), "strayed-signal", "U1");
    REQUIRE(astray);
    CHECK(astray.finding->severity == Severity::warning);
    CHECK(astray.finding->message ==
          "the signal pin U1.grip lies on A1.5v, and the signal pin A1.out has no lead");
    CHECK(astray.finding->beside == "it reads the full supply, whatever the sensor says");
    CHECK_FALSE(strayed(cart("route U1.grip (W6 0.5 mm2, 1 m, white) A1.out\n")));
    // By way of a splice in the supply, and through a plug.
    CHECK(strayed(cart("route U1.grip (W6 0.5 mm2, 1 m, white) X1 (W7 0.5 mm2, 0.1 m) A1.5v\n")) ==
          Severity::warning);
    CHECK(
        strayed(cart("route U1.grip (W6 0.5 mm2, 1 m, white) J1.1 (W7 0.5 mm2, 0.1 m) A1.5v\n",
                     "connector J1 { mate P1, half socket, contacts 1, carries 5 A, 60 V, takes 0.25..1 mm2\n"
                     "  rated-at 30 degC, limit 105 degC }\n")) == Severity::warning);
}

TEST_CASE("the other end of the lead is told as well: the sensor's pin on the controller's own supply") {
    CHECK(strayed(cart("route A1.out (W6 0.5 mm2, 1 m, white) U1.5v\n"), "A1") == Severity::warning);
}

TEST_CASE("a signal lead on the minus of the sensor is told, a strap to a minus elsewhere is not") {
    const Told astray = told(cart("route U1.grip (W6 0.5 mm2, 1 m, white) A1.gnd\n"), "strayed-signal", "U1");
    REQUIRE(astray);
    CHECK(astray.finding->beside == "it reads nothing, whatever the sensor says");
    CHECK_FALSE(strayed(cart("route U1.mode (W6 0.5 mm2, 1 m, white) B1.-\n")));
}

TEST_CASE("a strap without a free pin, with a free pin said to be spare, or with something in it is none") {
    const std::string out = "route U1.grip (W6 0.5 mm2, 1 m, white) A1.out\n";
    CHECK_FALSE(strayed(cart(out + "route U1.mode (W7 0.5 mm2, 1 m, white) U1.5v\n")));
    const std::string stray = "route U1.grip (W6 0.5 mm2, 1 m, white) A1.5v\n";
    CHECK_FALSE(strayed(cart(stray, "", "pin 5v supply 8 mA, pin gnd return, pin out signal, spare out")));
    CHECK_FALSE(strayed(cart("route U1.grip (W6 0.5 mm2, 1 m, white) S1 (W7 0.5 mm2, 1 m, white) A1.5v\n")));
    CHECK_FALSE(strayed(cart("route U1.grip (W6 0.5 mm2, 1 m, white) R1 (W7 0.5 mm2, 1 m, white) A1.5v\n")));
    // A free pin of a part that hangs on neither.
    CHECK_FALSE(strayed(
        cart(out + "route U1.mode (W7 0.5 mm2, 1 m, white) U1.5v\n",
             "device A2 { pin in supply 60 mA, pin gnd return, pin out signal }\n"
             "route F1.out (W10 0.5 mm2, 1 m, red) A2.in\nroute A2.gnd (W11 0.5 mm2, 1 m, black) B1.-\n")));
}

TEST_CASE("on a pack or converter too, but for a pin that is made for the voltage") {
    const std::string out = "route U1.grip (W6 0.5 mm2, 1 m, white) A1.out\n";
    const auto meter = [&](const std::string& volts) {
        return cart(
            out + "route A3.level (W7 0.5 mm2, 1 m, white) F1.out\n",
            "device A2 { pin in supply 60 mA, pin gnd return, pin out signal }\n"
            "device A3 { pin level signal " +
                volts +
                ", pin gnd return }\n"
                "route A3.gnd (W12 0.5 mm2, 1 m, black) B1.-\n"
                "route F1.out (W10 0.5 mm2, 1 m, red) A2.in\nroute A2.gnd (W11 0.5 mm2, 1 m, black) B1.-\n");
    };
    CHECK(strayed(meter("5 V"), "A3") == Severity::warning);
    CHECK(strayed(meter(""), "A3") == Severity::warning);
    CHECK_FALSE(strayed(meter("60 V"), "A3"));
    CHECK(
        strayed(cart(
            "route U1.grip (W6 0.5 mm2, 1 m, white) X1\n",
            "converter D1 { input 30..60 V, output 12 V 2 A, efficiency 88 %, negative common, spare out- }\n"
            "device A2 { pin in supply 60 mA, pin gnd return, pin out signal }\n"
            "route F1.out (W8 0.5 mm2, 1 m, red) D1.in+\nroute D1.in- (W9 0.5 mm2, 1 m, black) B1.-\n"
            "route D1.out+ (W10 0.5 mm2, 1 m) X1\nroute X1 (W11 0.5 mm2, 1 m) A2.in\n"
            "route A2.gnd (W12 0.5 mm2, 1 m, black) B1.-\n")) == Severity::warning);
}

TEST_CASE("the return of a sensor on what feeds others is told, on a minus it is not") {
    const auto sensor = [](const std::string& to, const std::string& pins = "pin a signal, pin b return") {
        return cart(
            "route U1.mode (W6 0.5 mm2, 1 m, white) A2.a\nroute A2.b (W7 0.5 mm2, 1 m, black) " + to + "\n",
            "device A2 \"winding\" { " + pins + " }\nroute U1.grip (W8 0.5 mm2, 1 m) A1.out\n");
    };
    const Told told_of = told(sensor("U1.5v"), "return-on-supply", "A2");
    REQUIRE(told_of);
    CHECK(told_of.finding->severity == Severity::warning);
    CHECK(told_of.finding->message == "the return pin A2.b lies on U1.5v, which feeds others");
    CHECK(told(sensor("A1.5v"), "return-on-supply", "A2"));
    CHECK(told(sensor("F1.out"), "return-on-supply", "A2"));
    CHECK_FALSE(told(sensor("U1.gnd"), "return-on-supply"));
    CHECK_FALSE(told(sensor("B1.-"), "return-on-supply"));
    CHECK_FALSE(told(sensor("U1.5v", "pin a signal, pin b signal"), "return-on-supply"));
    CHECK_FALSE(told(sensor("X1"), "return-on-supply"));
}

TEST_CASE("two signal leads that change places between pins of the same names are noted") {
    const auto rotor = [](const std::string& first, const std::string& second,
                          const std::string& names = "a b") {
        const std::string pins =
            names == "a b" ? "pin grip signal, pin mode signal" : "pin x signal, pin y signal";
        return cart("route U1.grip (W6 0.5 mm2, 1 m) A2." + first + "\nroute U1.mode (W7 0.5 mm2, 1 m) A2." +
                        second + "\nroute A2.gnd (W8 0.5 mm2, 1 m) B1.-\n",
                    "device A2 { " + pins + ", pin gnd return }\n", "pin 5v supply 8 mA, pin gnd return");
    };
    const Told crossed = told(rotor("mode", "grip"), "crossed-signals", "U1");
    REQUIRE(crossed);
    CHECK(crossed.finding->severity == Severity::note);
    CHECK(crossed.finding->message == "A2.grip lies on U1.mode, and A2.mode on U1.grip");
    CHECK_FALSE(told(rotor("grip", "mode"), "crossed-signals"));
    CHECK_FALSE(told(rotor("y", "x", "x y"), "crossed-signals"));
}

}  // namespace strayed_signal_test
