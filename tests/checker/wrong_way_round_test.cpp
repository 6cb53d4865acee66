// Parts that are wired the wrong way round, without looking at any mode: battery managements, coils with a
// diode, diodes, and what a crossed plug turns round. Each beside its twin that is put right.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace wrong_way_round_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// The example harness with one place changed and lines added at its end.
Results changed(std::string_view from, std::string_view to, const std::string& added = {}) {
    return check_text(replaced(std::string(example_harness) + added, from, to));
}
Results added(const std::string& lines) {
    return check_text(std::string(example_harness) + lines);
}

std::size_t times(const Results& results, std::string_view rule) {
    return static_cast<std::size_t>(std::count_if(results.findings.begin(), results.findings.end(),
                                                  [&](const Finding& each) { return each.rule == rule; }));
}

const std::string low_route =
    "route B1.- (W5 16 mm2, 0.1 m, black) Q1 (W6 16 mm2, 0.9 m, black) J1.2 (W7 16 mm2, 0.2 m, black) U1.-";
const std::string high_bms = "bms Q1 { side high,";
const std::string low_bms = "bms Q1 { side low,";

// A relay with a pilot lamp's coil, switched in the plus (`before`) or in the minus (`behind`).
std::string relay(const std::string& first, const std::string& last, const std::string& suppression,
                  bool in_the_minus = false) {
    const std::string plain = " (W41 1 mm2, 0.3 m, red) ",
                      switched = " (W42 1 mm2, 0.3 m, red) S9 (W46 1 mm2, 0.3 m, red) ";
    return "relay K9 { contacts no, carries 5 A, breaks 2 A at 60 V dc, coil 48 V 20 mA, coil-works 30..60 "
           "V" +
           suppression +
           " }\nswitch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
           "route X1 (W43 1 mm2, 0.1 m, red) K9.in\nroute K9.out (W44 1 mm2, 0.1 m, red) H9 "
           "(W45 1 mm2, 0.1 m, black) Q1.P-\nload H9 { 48 V, 5 W, acts-as power, works 30..60 V }\n"
           "route X1" +
           (in_the_minus ? plain : switched) + first + "\nroute " + last + (in_the_minus ? switched : plain) +
           "Q1.P-\n";
}

}  // namespace

TEST_CASE("a battery management with its load side on the cells is told, low side and high side") {
    const Results turned = changed("black) Q1 (W6", "black) Q1.P->B- (W6");
    REQUIRE(finding_of(turned, "bms-direction", "Q1"));
    CHECK(finding_of(turned, "bms-direction", "Q1")->severity == Severity::error);
    CHECK(finding_of(turned, "bms-direction", "Q1")->beside ==
          "Q1.P- lies on the cells, where Q1.B- has to; it cannot stop a discharge");
    CHECK(times(check_text(std::string(example_harness)), "bms-direction") == 0);

    // In the plus lead, where one of side high belongs.
    const auto high = [](const char* walked) {
        std::string text = replaced(std::string(example_harness), low_bms, high_bms);
        text = replaced(text, low_route,
                        "route B1.- (W5 16 mm2, 1 m, black) J1.2 (W7 16 mm2, 0.2 m, black) U1.-");
        text = replaced(
            text, "route B1.+ (W1 16 mm2, 0.15 m, red) F1",
            "route B1.+ (W1 16 mm2, 0.05 m, red) " + std::string(walked) + " (W6 16 mm2, 0.1 m, red) F1");
        while (text.find("Q1.P-") != std::string::npos) text = replaced(text, "Q1.P-", "B1.-");
        return check_text(text);
    };
    CHECK(finding_of(high("Q1.P+>B+"), "bms-direction", "Q1"));
    CHECK(times(high("Q1"), "bms-direction") == 0);
}

TEST_CASE("a battery management in the other lead is told, and which lead it is made for") {
    std::string text = replaced(std::string(example_harness), low_route,
                                "route B1.- (W5 16 mm2, 1 m, black) J1.2 (W7 16 mm2, 0.2 m, black) U1.-");
    text = replaced(text, "route B1.+ (W1 16 mm2, 0.15 m, red) F1",
                    "route B1.+ (W1 16 mm2, 0.05 m, red) Q1 (W6 16 mm2, 0.1 m, red) F1");
    while (text.find("Q1.P-\n") != std::string::npos) text = replaced(text, "Q1.P-\n", "B1.-\n");
    const Results results = check_text(text);
    REQUIRE(finding_of(results, "bms-direction", "Q1"));
    CHECK(finding_of(results, "bms-direction", "Q1")->message ==
          "bms Q1 is made for the minus lead and sits in the plus lead");
}

TEST_CASE("of two packs side by side the one with its battery management turned round is told") {
    const auto second = [](const char* walked) {
        return added(
            "pack B2 { cells 13s6p, cell-voltage 3.0..4.2 V, cell-resistance 20 mohm, cell-capacity 3 Ah, "
            "discharge 60 A, charge 15 A }\n"
            "bms Q2 { side low, ports common, discharge 70 A, charge 20 A, trips 120 A after 1 s, resistance "
            "1 "
            "mohm }\nfuse F9 { 60 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-5 }\n"
            "route B2.+ (W40 16 mm2, 0.15 m, red) F9 (W41 16 mm2, 0.2 m, red) F1.out\n"
            "route B2.- (W42 16 mm2, 0.1 m, black) " +
            std::string(walked) + " (W43 16 mm2, 0.2 m, black) Q1.P-\n");
    };
    CHECK(finding_of(second("Q2.P->B-"), "bms-direction", "Q2"));
    CHECK_FALSE(finding_of(second("Q2.P->B-"), "bms-direction", "Q1"));
    CHECK(times(second("Q2"), "bms-direction") == 0);
}

TEST_CASE("a coil with a diode in it and A2 towards plus is told, switched in the plus or in the minus") {
    for (const bool in_the_minus : {false, true}) {
        INFO(in_the_minus);
        const Results turned = added(relay("K9.A2", "K9.A1", ", suppression diode", in_the_minus));
        REQUIRE(finding_of(turned, "coil-polarity", "K9"));
        CHECK(finding_of(turned, "coil-polarity", "K9")->severity == Severity::error);
        CHECK(times(added(relay("K9.A1", "K9.A2", ", suppression diode", in_the_minus)), "coil-polarity") ==
              0);
    }
}

TEST_CASE("what suppresses a coil decides how bad it is that it is turned round; not knowing never helps") {
    const auto severity = [](const char* suppression) -> std::optional<Severity> {
        const Results results = added(relay("K9.A2", "K9.A1", suppression));
        const Finding* finding = finding_of(results, "coil-polarity", "K9");
        return finding ? std::optional(finding->severity) : std::nullopt;
    };
    CHECK(severity(", suppression diode") == Severity::error);
    CHECK(severity(", suppression unknown") == Severity::error);
    CHECK(severity(", suppression built-in") == Severity::warning);
    CHECK(severity(", suppression zener") == Severity::warning);
    CHECK(severity("") == Severity::warning);
    CHECK(severity(", suppression varistor") == std::nullopt);
    CHECK(severity(", suppression resistor") == std::nullopt);
}

TEST_CASE("a coil between a driver of each kind is judged by what lies beyond the drivers") {
    const auto driven = [](const char* first, const char* second) {
        return added(
            "device A9 { pin in supply 5 mA, pin up high-side 1 A, pin down low-side 1 A, pin gnd return }\n"
            "relay K9 { contacts no, carries 5 A, breaks 2 A at 60 V dc, coil 48 V 20 mA, coil-works "
            "30..60 V, suppression diode, spare in out }\n"
            "route X1 (W40 1 mm2, 0.1 m) A9.in\nroute A9.gnd (W41 1 mm2, 0.1 m) Q1.P-\n"
            "route A9.up (W42 1 mm2, 0.1 m) K9." +
            std::string(first) + "\nroute A9.down (W43 1 mm2, 0.1 m) K9." + second + "\n");
    };
    CHECK(finding_of(driven("A2", "A1"), "coil-polarity", "K9"));
    CHECK_FALSE(finding_of(driven("A1", "A2"), "coil-polarity", "K9"));
}

TEST_CASE("a diode that never lets a current pass is told, in the plus and in the minus of what it feeds") {
    const std::string diode = "\ndiode V9 { 3 A, 100 V, drop 0.8 V }\n";
    const std::string plus = "route X1 (W13 1 mm2, 0.3 m, red) H2";
    const auto in_plus = [&](const char* walked) {
        return changed(plus, "route X1 (W13 1 mm2, 0.3 m, red) " + std::string(walked) + " (direct) H2",
                       diode);
    };
    REQUIRE(finding_of(in_plus("V9.K>A"), "blocking-diode", "V9"));
    CHECK(finding_of(in_plus("V9.K>A"), "blocking-diode", "V9")->severity == Severity::error);
    CHECK(times(in_plus("V9"), "blocking-diode") == 0);
    const auto in_minus = [&](const char* walked) {
        return changed("H2 (W14 1 mm2, 1 m, black)",
                       "H2 (W14 1 mm2, 1 m, black) " + std::string(walked) + " (W50 1 mm2, 0.1 m, black)",
                       diode);
    };
    CHECK(finding_of(in_minus("V9.K>A"), "blocking-diode", "V9"));
    CHECK(times(in_minus("V9"), "blocking-diode") == 0);
    // Before a charger, whose current goes the other way.
    const auto charger = [&](const char* walked) {
        return added(diode +
                     "charger G9 { output 54.6 V 2 A, reverse blocked }\n"
                     "fuse F9 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                     "route F1.out (direct) F9 (W50 1 mm2, 0.1 m) " +
                     std::string(walked) + " (W51 1 mm2, 0.1 m) G9 (W52 1 mm2, 0.1 m) Q1.P-\n");
    };
    CHECK(finding_of(charger("V9"), "blocking-diode", "V9"));
    CHECK(times(charger("V9.K>A"), "blocking-diode") == 0);
}

TEST_CASE("a diode across a coil or a load shorts what switches it when it is turned round") {
    const std::string diode = "diode V9 { 3 A, 100 V, drop 0.8 V }\n";
    const auto across = [&](const char* a, const char* k) {
        return added(diode + "route " + a + " (W50 1 mm2, 0.1 m) V9 (W51 1 mm2, 0.1 m) " + k + "\n");
    };
    for (const auto& [plus, minus] : {std::pair("K1.A1", "K1.A2"), std::pair("H2.+", "H2.-")}) {
        INFO(plus);
        const Results turned = across(plus, minus), right = across(minus, plus);
        REQUIRE(finding_of(turned, "shorting-diode", "V9"));
        CHECK(finding_of(turned, "shorting-diode", "V9")->severity == Severity::error);
        CHECK(times(right, "shorting-diode") == 0);
        CHECK(times(right, "blocking-diode") == 0);
    }
}

TEST_CASE("a crossed plug before a controller names the controller, though no mode uses it") {
    const std::string own =
        "controller U9 { input 30..60 V, capacitance 10 uF, supply-limit 4 A, phase-peak 20 A, regen none }\n"
        "motor M9 { leads 3, carries 20 A }\nfuse F9 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve "
        "iso8820-3 }\n"
        "connector J9 { mate P9, half socket, contacts 2, carries 20 A, 90 V, takes 1..4 mm2, rated-at 30 "
        "degC, "
        "limit 105 degC }\nswitch S9 { 80 V dc, carries 5 A, makes 5 A, breaks 5 A at 60 V dc }\n"
        "route F1.out (direct) F9 (W50 1 mm2, 0.1 m) S9 (W51 1 mm2, 0.1 m) J9.1\n"
        "route Q1.P- (W52 1 mm2, 0.1 m) J9.2\n"
        "route U9.U (W55 1 mm2, 0.1 m) M9.U\nroute U9.V (W56 1 mm2, 0.1 m) M9.V\n"
        "route U9.W (W57 1 mm2, 0.1 m) M9.W\n";
    const Results crossed =
        added(own + "route P9.1 (W53 1 mm2, 0.1 m) U9.-\nroute P9.2 (W54 1 mm2, 0.1 m) U9.+\n");
    REQUIRE(finding_of(crossed, "reversed", "U9"));
    CHECK(finding_of(crossed, "reversed", "U9")->severity == Severity::error);
    CHECK_FALSE(
        finding_of(added(own + "route P9.1 (W53 1 mm2, 0.1 m) U9.+\nroute P9.2 (W54 1 mm2, 0.1 m) U9.-\n"),
                   "reversed", "U9"));
}

TEST_CASE("a charger, a converter and a capacitor turned round are told without a mode that uses them") {
    const std::string fuse =
        "fuse F9 { 5 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
        "switch S9 { 80 V dc, carries 5 A, makes 5 A, breaks 5 A at 60 V dc }\n";
    const auto between = [&](const std::string& part, const std::string& plus, const std::string& minus) {
        return added(fuse + part + "\nroute F1.out (direct) F9 (W50 1 mm2, 0.1 m) S9 (W51 1 mm2, 0.1 m) " +
                     plus + "\nroute " + minus + " (W52 1 mm2, 0.1 m) Q1.P-\n");
    };
    const std::string charger = "charger G9 { output 54.6 V 2 A, reverse blocked }";
    CHECK(finding_of(between(charger, "G9.-", "G9.+"), "reversed", "G9"));
    CHECK_FALSE(finding_of(between(charger, "G9.+", "G9.-"), "reversed", "G9"));
    const std::string converter =
        "converter D9 { input 30..60 V, output 12 V 1 A, efficiency 88 %, negative isolated, reverse "
        "blocked, "
        "capacitance 1 uF, spare out+ out- }";
    CHECK(finding_of(between(converter, "D9.in-", "D9.in+"), "reversed", "D9"));
    CHECK_FALSE(finding_of(between(converter, "D9.in+", "D9.in-"), "reversed", "D9"));
    const std::string capacitor = "capacitor C9 { 10 uF, 100 V }";
    CHECK(finding_of(between(capacitor, "C9.-", "C9.+"), "reversed", "C9"));
    CHECK_FALSE(finding_of(between(capacitor, "C9.+", "C9.-"), "reversed", "C9"));
}

TEST_CASE("a diode that shorts names what it lies across, not what lies behind the next switch") {
    const auto across = [](const char* first, const char* second) {
        return added(
            "diode V9 { 3 A, 100 V, drop 0.8 V }\nload Y9 { 48 V, 1 A, acts-as current, works 30..60 V }\n"
            "switch S8 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
            "route X1 (W40 1 mm2, 0.3 m, red) S8 (W41 1 mm2, 0.3 m, red) Y9 (W42 1 mm2, 0.3 m, black) Q1.P-\n"
            "route " +
            std::string(first) + " (direct) V9 (direct) " + second + "\n");
    };
    const Results turned = across("Y9.+", "Y9.-");
    REQUIRE(finding_of(turned, "shorting-diode", "V9"));
    CHECK(finding_of(turned, "shorting-diode", "V9")->message ==
          "diode V9 is wired the wrong way round and shorts what switches load Y9");
    CHECK(times(across("Y9.-", "Y9.+"), "shorting-diode") == 0);
    // Alone between plus and minus it shorts the source, not a coil beyond a switch.
    const Results bare = added(
        "diode V9 { 3 A, 100 V, drop 0.8 V }\nroute F1.out (W40 1 mm2, 0.3 m, red) V9 (W41 1 mm2, 0.3 "
        "m, black) Q1.P-\n");
    REQUIRE(finding_of(bare, "shorting-diode", "V9"));
    CHECK(finding_of(bare, "shorting-diode", "V9")->message ==
          "diode V9 is wired the wrong way round and shorts its source");
}

TEST_CASE("with a charger's leads crossed what opens stands the pack and the charger once, not more") {
    const auto charged = [](const char* plus, const char* minus, const char* rated) {
        return check_text(
            "loom 1\nharness \"Punt\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 20..28.4 V, resistance 10 mohm, capacity 50 Ah, discharge 60 A, charge 20 A "
            "}\n"
            "fuse F1 { 10 A, 80 V dc, breaks 8 kA at 80 V dc, curve iso8820-5 }\n"
            "charger G1 { output 28.4 V 5 A, reverse blocked }\n"
            "switch S1 { " +
            std::string(rated) + " dc, carries 20 A, makes 20 A, breaks 20 A at " + rated +
            " dc }\n"
            "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.3 m) S1 (W3 2.5 mm2, 0.3 m) G1." +
            plus + "\nroute G1." + minus + " (W4 2.5 mm2, 0.3 m) B1.-\nmode off { others at rest }\n");
    };
    // 28.4 V of the pack and 28.4 V of the charger.
    CHECK(finding_of(charged("-", "+", "56.7 V"), "contact-voltage", "S1"));
    CHECK_FALSE(finding_of(charged("-", "+", "56.9 V"), "contact-voltage", "S1"));
    CHECK(finding_of(charged("-", "+", "56.9 V"), "reversed", "G1"));
    CHECK(finding_of(charged("+", "-", "28.35 V"), "contact-voltage", "S1"));
    CHECK_FALSE(finding_of(charged("+", "-", "28.45 V"), "contact-voltage", "S1"));
}

}  // namespace wrong_way_round_test
