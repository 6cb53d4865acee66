// The same machine written otherwise is judged the same: a heater as a resistor, many small ones for a large
// one, a relay or a selector for a switch, something harmless beside it.
#include "checker/rules/rule_example.hpp"
#include "tests/checker/exchanged.hpp"
#include "tests/checker/planted.hpp"

namespace written_otherwise_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string hoist(const std::vector<Exchange>& exchanges) {
    return with(std::string(example_harness), exchanges);
}
std::string more(const std::string& text) {
    return hoist({{"splice X1", text + "splice X1"}});
}

}  // namespace

TEST_CASE("a motor on the supply that no controller drives is no silence") {
    const auto winch = [](const std::string& motor) {
        return more(
            "fuse F9 { 20 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
            "switch S9 { 80 V dc, carries 60 A, makes 200 A, breaks 60 A at 60 V dc }\n" +
            motor);
    };
    const std::string driven =
        "route F1.out (W90 2.5 mm2, 0.1 m) F9 (W91 2.5 mm2, 0.3 m) S9 (W92 2.5 mm2, 1 m) M9.M+\n"
        "route M9.M- (W93 2.5 mm2, 1 m) Q1.P-\n";
    CHECK(severity_in(winch("motor M9 { leads 2, carries 50 A }\n" + driven), "undriven-motor", "M9") ==
          Severity::error);
    // Over a contact, a resistor or a diode it hangs on the supply all the same; over nothing it does not.
    CHECK(severity_in(winch("motor M9 { leads 2, carries 50 A }\nresistor R9 { 1 ohm, 50 W }\n"
                            "route S9.out (W92 2.5 mm2, 1 m) R9 (W94 2.5 mm2, 1 m) M9.M+\n"
                            "route F1.out (W90 2.5 mm2, 0.1 m) F9 (W91 2.5 mm2, 0.3 m) S9.in\n"
                            "route M9.M- (W93 2.5 mm2, 1 m) Q1.P-\n"),
                      "undriven-motor", "M9") == Severity::error);
    CHECK_FALSE(severity_in(more("motor M9 { leads 2, carries 50 A }\n"), "undriven-motor", ""));
    CHECK_FALSE(severity_in(std::string(example_harness), "undriven-motor", ""));
    // A contact between a controller and its motor.
    CHECK_FALSE(severity_in(
        hoist(
            {{"(W20 10 mm2, 0.5 m, yellow) M1.U", "(W20 10 mm2, 0.5 m, yellow) S9 (W29 10 mm2, 0.1 m) M1.U"},
             {"(W21 10 mm2, 0.5 m, green) M1.V", "(W21 10 mm2, 0.5 m, green) S8 (W28 10 mm2, 0.1 m) M1.V"},
             {"(W22 10 mm2, 0.5 m, blue) M1.W", "(W22 10 mm2, 0.5 m, blue) S7x (W27 10 mm2, 0.1 m) M1.W"},
             {"splice X1",
              "switch S9 { 80 V dc, carries 90 A }\nswitch S8 { 80 V dc, carries 90 A }\n"
              "switch S7x { 80 V dc, carries 90 A }\nsplice X1"}}),
        "undriven-motor", ""));
}

TEST_CASE("a heater is judged as a consumer, whatever kind it is written as") {
    const std::string fuse = "fuse F9 { 15 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n";
    const auto no_disconnect = [&](const std::string& heater, const std::string& plus,
                                   const std::string& minus) {
        return severity_in(more(fuse + heater + "route F1.out (W90 2.5 mm2, 0.1 m) F9 (W91 2.5 mm2, 1 m) " +
                                plus + "\nroute " + minus + " (W92 2.5 mm2, 1 m) Q1.P-\n"),
                           "no-disconnect", "E9");
    };
    CHECK(no_disconnect("load E9 { 48 V, 9 A, acts-as resistor }\n", "E9.+", "E9.-") == Severity::error);
    CHECK(no_disconnect("resistor E9 { 5.3 ohm, 600 W }\n", "E9.in", "E9.out") == Severity::error);
    CHECK(no_disconnect("resistor E9 { 5.3 ohm, 600 W }\n", "E9.out", "E9.in") == Severity::error);
    CHECK(no_disconnect("device E9 { pin heat supply 48 V 9 A, pin gnd return }\n", "E9.heat", "E9.gnd") ==
          Severity::error);
    // A bleed of 0.5 A, and a sensor.
    CHECK_FALSE(no_disconnect("resistor E9 { 120 ohm, 30 W }\n", "E9.in", "E9.out") == Severity::error);
    CHECK_FALSE(no_disconnect("device E9 { pin heat supply 48 V 0.5 A, pin gnd return }\n", "E9.heat",
                              "E9.gnd") == Severity::error);
}

TEST_CASE("a resistor with nothing at its other end is floating; one in a precharge is not") {
    const std::string heater = "resistor E9 { 5.3 ohm, 600 W }\nroute X1 (W91 2.5 mm2, 1 m) E9.in\n";
    CHECK(severity_in(more(heater), "floating", "E9") == Severity::error);
    CHECK_FALSE(severity_in(more(heater + "route E9.out (W92 2.5 mm2, 1 m) Q1.P-\n"), "floating", ""));
    CHECK_FALSE(severity_in(std::string(example_harness), "floating", ""));
}

TEST_CASE("bars that serve a heater alone can touch, whatever it is written as") {
    const auto cabin = [](const std::string& heater, const std::string& plus, const std::string& minus,
                          const std::string& main_minus) {
        return severity_in(
            "loom 1\nharness \"Dairy cabin\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 20..29.2 V, resistance 10..16 mohm, capacity 60 Ah, discharge 90 A, charge 30 "
            "A }\n"
            "fuse F1 { 80 A, 58 V dc, breaks 5 kA at 58 V dc, curve iso8820-5 }\n"
            "switch S1 { 48 V dc, carries 150 A, makes 300 A, breaks 120 A at 32 V dc }\n"
            "busbar X1 { studs 4, carries 150 A }\nbusbar X2 { studs 4, carries 150 A }\n"
            "fuse F2 { 5 A, 58 V dc, breaks 4 kA at 58 V dc, curve iso8820-3 }\n"
            "switch S2 { 32 V dc, carries 30 A, makes 40 A, breaks 25 A at 32 V dc }\n" +
                heater +
                "route B1.+ (W1 25 mm2, 0.15 m) F1 (W2 25 mm2, 0.4 m) S1 (W3 25 mm2, 0.4 m) X1.1\n"
                "route B1.- (W4 " +
                main_minus +
                ", 0.6 m) X2.1\n"
                "route X1.2 (W6 1.5 mm2, 0.1 m) F2 (W7 1.5 mm2, 1 m) S2 (W8 1.5 mm2, 1 m) " +
                plus + "\nroute " + minus +
                " (W9 1.5 mm2, 2 m) X2.2\n"
                "mode off { others at rest }\nmode lit { S1 S2 closed, others at rest }\n",
            "oversized-fuse", "W4");
    };
    CHECK(cabin("load E1 { 24 V, 40 W, acts-as resistor }\n", "E1.+", "E1.-", "2.5 mm2") == Severity::error);
    CHECK(cabin("resistor E1 { 14.4 ohm, 80 W }\n", "E1.in", "E1.out", "2.5 mm2") == Severity::error);
    CHECK_FALSE(cabin("resistor E1 { 14.4 ohm, 80 W }\n", "E1.in", "E1.out", "25 mm2"));
}

TEST_CASE("what hangs beside a load keeps no switch in line with it from being told") {
    const auto valve = [](const std::string& beside, const std::string& carries) {
        return severity_in(
            more("switch S9 { 80 V dc, carries " + carries +
                 ", breaks 2 A at 60 V dc }\nload H9 { 48 V, 4 A, acts-as current, works 30..60 V }\n"
                 "route F2.out (W30 1 mm2, 0.3 m) S9 (W31 1 mm2, 0.3 m) H9 (W32 1 mm2, 0.3 m) Q1.P-\n" +
                 beside),
            "in-no-mode", "S9");
    };
    CHECK(valve("", "2 A") == Severity::error);
    CHECK_FALSE(valve("", "4 A"));
    const std::string freewheel =
        "diode D9 { 5 A, 100 V, drop 0.7 V }\nroute H9.+ (direct) D9.K\nroute H9.- (direct) D9.A\n";
    const std::string wired_freewheel =
        "diode D9 { 5 A, 100 V, drop 0.7 V }\nroute H9.+ (W33 1 mm2, 0.1 m) D9.K\n"
        "route H9.- (W34 1 mm2, 0.1 m) D9.A\n";
    const std::string pilot =
        "load H8 { 48 V, 5 mA, acts-as current, works 30..60 V }\nroute H9.+ (W35 1 mm2, 1 m) H8.+\n"
        "route H8.- (W36 1 mm2, 1 m) Q1.P-\n";
    for (const std::string& beside : {freewheel, wired_freewheel, pilot}) {
        INFO(beside);
        CHECK(valve(beside, "2 A") == Severity::error);
        CHECK_FALSE(valve(beside, "4.1 A"));
    }
}

TEST_CASE("two loads that one switch turns on count together, as far as their fuse goes") {
    const auto lamps = [](const std::string& carries, const std::string& one, const std::string& other,
                          const std::string& rated = "7.5 A") {
        return severity_in(
            hoist({{"fuse F2 { 5 A", "fuse F2 { " + rated},
                   {"splice X1", "switch S9 { 80 V dc, carries " + carries +
                                     ", breaks 2 A at 60 V dc }\nswitch S8 { 80 V dc, carries 20 A, breaks "
                                     "20 A at 60 V dc }\nswitch S10 { 80 V dc, carries 20 A, breaks 20 A "
                                     "at 60 V dc }\n"
                                     "load H9 { 48 V, 2 A, acts-as current, works 30..60 V }\n"
                                     "load H8 { 48 V, 2 A, acts-as current, works 30..60 V }\nsplice X9\n"
                                     "route F2.out (W30 1 mm2, 0.3 m) S9 (W31 1 mm2, 0.3 m) X9\n"
                                     "route X9 (W33 1 mm2, 0.3 m) " +
                                     one +
                                     "H9 (W32 1 mm2, 0.3 m) Q1.P-\n"
                                     "route X9 (W34 1 mm2, 0.3 m) " +
                                     other + "H8 (W35 1 mm2, 0.3 m) Q1.P-\nsplice X1"}}),
            "in-no-mode", "S9");
    };
    const std::string one = "S10 (W37 1 mm2, 0.3 m) ", other = "S8 (W36 1 mm2, 0.3 m) ";
    CHECK(lamps("3 A", "", "") == Severity::error);
    CHECK_FALSE(lamps("4 A", "", ""));
    // Whoever turns on the one that has a switch has the other one on.
    CHECK(lamps("3 A", "", other) == Severity::error);
    CHECK_FALSE(lamps("3 A", one, other));
    // The switch stands between them and the fuse.
    CHECK_FALSE(lamps("3 A", "", "", "3 A"));
}

TEST_CASE("a bank of capacitors burns what one of the same capacitance burns") {
    const auto bank = [](int count, const std::string& each, const std::string& area) {
        std::string text =
            "stud X8\nstud X9\nfuse F9 { 10 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
            "switch S9 { 80 V dc, carries 10 A, makes 60 A, breaks 10 A at 60 V dc }\n"
            "resistor R9 { 47 ohm, 100 W, pulse 500 J }\n"
            "load E9 { 48 V, 1 A, acts-as current }\n"
            "route F1.out (W90 1.5 mm2, 0.1 m) F9 (W91 1.5 mm2, 0.3 m) S9 (W92 1.5 mm2, 0.3 m) R9 "
            "(W93 1.5 mm2, 0.3 m) X8\nroute X9 (W94 1.5 mm2, 0.3 m) Q1.P-\n"
            "route X8 (W95 " +
            area + ", 1 m) E9 (W96 " + area + ", 1 m) X9\n";
        for (int i = 0; i < count; ++i) {
            const std::string n = "C9" + std::to_string(i);
            text += "capacitor " + n + " { " + each + ", 63 V }\nroute X8 (direct) " + n + ".+\nroute " + n +
                    ".- (direct) X9\n";
        }
        return severity_in(more(text), "unprotected-wire", "W95");
    };
    CHECK(bank(1, "80 mF", "0.5 mm2") == Severity::error);
    CHECK(bank(8, "10 mF", "0.5 mm2") == Severity::error);
    CHECK_FALSE(bank(8, "10 mF", "25 mm2"));
    CHECK_FALSE(bank(2, "1 mF", "0.5 mm2"));
}

TEST_CASE("a wire round a contact is told, be it of a relay with an empty throw or of a selector") {
    const auto bridged = [](const std::string& part, const std::string& in, const std::string& out,
                            const std::string& wire) {
        return severity_in(more(part +
                                "load E9 { 48 V, 2 A, acts-as current }\n"
                                "route X1 (W90 1 mm2, 0.3 m) " +
                                in + "\nroute " + out +
                                " (W91 1 mm2, 0.3 m) E9.+\nroute E9.- (W92 1 mm2, 0.3 m) Q1.P-\n" + wire),
                           "bridged-contact", "K9");
    };
    const std::string coil = "coil 48 V 50 mA, coil-works 30..60 V, suppression diode";
    const std::string relay =
        "relay K9 { contacts change-over, spare nc, carries 10 A, breaks 2 A at 60 V dc, " + coil + " }\n";
    const std::string round = "route K9.com (W93 1 mm2, 0.3 m) K9.no\n";
    CHECK(bridged(relay, "K9.com", "K9.no", round) == Severity::error);
    CHECK_FALSE(bridged(relay, "K9.com", "K9.no", ""));
    // A throw that leads on: a diode round it is the business of the other one, a wire never is.
    const std::string both =
        "relay K9 { contacts change-over, carries 10 A, breaks 2 A at 60 V dc, " + coil +
        " }\nload E8 { 48 V, 2 A, acts-as current }\nroute K9.nc (W94 1 mm2, 0.3 m) E8.+\n"
        "route E8.- (W95 1 mm2, 0.3 m) Q1.P-\n";
    CHECK(bridged(both, "K9.com", "K9.no", round) == Severity::error);
    CHECK_FALSE(bridged(both, "K9.com", "K9.no",
                        "diode D9 { 10 A, 200 V, drop 0.7 V }\nroute K9.com (W93 1 mm2, 0.3 m) D9.A\n"
                        "route D9.K (W96 1 mm2, 0.3 m) K9.no\n"));
}

TEST_CASE("many small loads past every switch are one large one") {
    const auto small = [](int count) {
        std::string text =
            "stud X9\nfuse F9 { 15 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
            "route F1.out (W90 2.5 mm2, 0.1 m) F9 (W91 2.5 mm2, 0.3 m) X9\n";
        for (int i = 0; i < count; ++i) {
            const std::string n = std::to_string(i);
            text += "load E9" + n + " { 48 V, 0.4 A, acts-as current }\nroute X9 (W8" + n +
                    " 2.5 mm2, 0.3 m) E9" + n + " (W7" + n + " 2.5 mm2, 0.3 m) Q1.P-\n";
        }
        return severity_in(more(text), "no-disconnect", "");
    };
    CHECK(small(2) == Severity::note);
    CHECK(small(3) == Severity::error);
}

TEST_CASE("two chargers that a mode has give together are one of their sum") {
    const auto chargers = [](const std::string& mode) {
        std::string text;
        for (const std::string n : {"8", "9"})
            text += "charger G" + n + " { output 54.6 V 10 A, reverse blocked }\nfuse F" + n +
                    " { 15 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\nroute G" + n + ".+ (W8" +
                    n + " 4 mm2, 0.3 m) F" + n + " (W7" + n + " 4 mm2, 0.3 m) F1.out\nroute G" + n +
                    ".- (W6" + n + " 4 mm2, 0.3 m) Q1.P-\n";
        return severity_in(more(text + mode), "settings-together", "");
    };
    // The pack takes 15 A.
    CHECK(chargers("mode sun { others at rest, G8 G9 delivers 1 A }\n") == Severity::error);
    CHECK(chargers("mode sun { others at rest, G8 delivers 1 A }\n"
                   "mode shore { others at rest, G9 delivers 1 A }\n") == Severity::warning);
}

TEST_CASE("a wire between the minus poles of two lamps is held to the fuses of the lamps alone") {
    const auto lamps = [](const std::string& fuse, const std::string& link, const std::string& landing) {
        return severity_in(
            more("fuse F9 { " + fuse +
                 ", 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\nstud X8\nstud X9\n"
                 "fuse F8 { 50 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
                 "switch S9 { 80 V dc, carries 60 A, makes 60 A, breaks 60 A at 60 V dc }\n"
                 "load E9 { 48 V, 30 A, acts-as current }\nload E7 { 48 V, 1 A, acts-as current }\n"
                 "load E8 { 48 V, 1 A, acts-as current }\n"
                 "route F1.out (W80 10 mm2, 0.1 m) F8 (W81 10 mm2, 0.3 m) S9 (W82 10 mm2, 0.3 m) E9 "
                 "(W83 10 mm2, 0.3 m) X9\nroute X9 (W84 16 mm2, 0.3 m) Q1.P-\n"
                 "route F1.out (W90 2.5 mm2, 0.1 m) F9 (W91 2.5 mm2, 1 m) X8\n"
                 "route X8 (W92 2.5 mm2, 1 m) E7 (W93 2.5 mm2, 1 m) " +
                 landing + "\nroute X8 (W94 2.5 mm2, 1 m) E8 (W95 2.5 mm2, 1 m) " + landing +
                 "\nroute E7.- (W96 " + link + ", 0.5 m) E8.-\n"),
            "oversized-fuse", "W96");
    };
    // The heater of 50 A on the same stud drives nothing round that ring.
    CHECK_FALSE(lamps("3 A", "1 mm2", "X9"));
    CHECK(lamps("20 A", "0.35 mm2", "X9") == Severity::error);
}

TEST_CASE("the cart is as sound with its lamps written as resistors") {
    std::string text = planted::Sound("market-cart.loom").text;
    const auto instead = [&](const std::string& load, const std::string& resistor) {
        const std::size_t from = text.find("load " + load + " "), to = text.find('\n', from);
        REQUIRE(from != std::string::npos);
        text.replace(from, to - from, "resistor " + load + " " + resistor);
    };
    instead("E3", "{ 36 ohm, 8 W }");
    instead("E4", "{ 20 ohm, 14.4 W }");
    ReadResult read = planted::read_example("market-cart.loom", text);
    REQUIRE(read.harness);
    const Results results = check(std::make_shared<const Harness>(std::move(*read.harness)), {});
    for (const Finding& finding : results.findings) {
        INFO(finding.rule << " " << finding.message);
        CHECK(finding.severity != Severity::error);
    }
}

}  // namespace written_otherwise_test
