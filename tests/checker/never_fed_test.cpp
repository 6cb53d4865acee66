// Parts that get voltage whatever is open or closed, and those that never do.
#include <catch2/catch.hpp>

#include "checker/rules/rule_example.hpp"
#include "tests/checker/checking.hpp"

namespace never_fed_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string sw =
    "part hand is switch { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\nswitch S10 is hand\nswitch S11 is "
    "hand\nswitch S12 is hand\n"
    "switch S8 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
    "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n";
Results with(const std::string& more) {
    return check_text(std::string(example_harness) + sw + more);
}

}  // namespace

TEST_CASE("a load whose poles lead to one pole of the supply, one of them by a switch, is never fed") {
    const Results plus = with(
        "load H8 { 48 V, 5 W, works 30..60 V }\n"
        "route X1 (W30 1 mm2, 0.3 m) S8 (W31 1 mm2, 0.3 m) H8 (W32 1 mm2, 0.3 m) X1\n");
    const Finding* finding = finding_of(plus, "floating", "H8");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(finding->beside ==
          "H8.+ and H8.- lead to one pole when the contacts between them are closed, and nowhere when not");
    const Results minus = with(
        "load H8 { 48 V, 5 W, works 30..60 V }\n"
        "route Q1.P- (W30 1 mm2, 0.3 m) S8 (W31 1 mm2, 0.3 m) H8 (W32 1 mm2, 0.3 m) Q1.P-\n");
    CHECK(finding_of(minus, "floating", "H8"));
}

TEST_CASE("a buzzer across switches is fed while they are open, one of them or two side by side") {
    const std::string buzzer =
        "load H8 { 48 V, 5 W, works 30..60 V }\nload H9 { 48 V, 5 W, works 30..60 V }\n"
        "splice X8\nroute X1 (W30 1 mm2, 0.3 m) H9 (W31 1 mm2, 0.3 m) X8\n"
        "route X8 (W32 1 mm2, 0.3 m) H8 (W33 1 mm2, 0.3 m) Q1.P-\n"
        "route X8 (W34 1 mm2, 0.3 m) S8 (W35 1 mm2, 0.3 m) Q1.P-\n";
    CHECK_FALSE(finding_of(with(buzzer), "floating"));
    CHECK_FALSE(
        finding_of(with(buzzer + "route X8 (W36 1 mm2, 0.3 m) S9 (W37 1 mm2, 0.3 m) Q1.P-\n"), "floating"));
}

TEST_CASE("only what joins its two ends counts as open for a buzzer, not what feeds it") {
    // S8 with S12 in a row, and S9, across H8; S10 and S11 in its supply.
    const std::string buzzer =
        "load H8 { 48 V, 5 W, works 30..60 V }\nload H9 { 48 V, 5 W, works 30..60 V }\nsplice X8\nsplice X9\n"
        "route X1 (W30 1 mm2, 0.3 m) H9 (W31 1 mm2, 0.3 m) S10 (W32 1 mm2, 0.3 m) X8\n"
        "route X8 (W33 1 mm2, 0.3 m) H8 (W34 1 mm2, 0.3 m) X9\n"
        "route X9 (W35 1 mm2, 0.3 m) S11 (W36 1 mm2, 0.3 m) Q1.P-\n"
        "route X8 (W37 1 mm2, 0.3 m) S8 (W38 1 mm2, 0.3 m) S12 (W39 1 mm2, 0.3 m) X9\n"
        "route X8 (W40 1 mm2, 0.3 m) S9 (W41 1 mm2, 0.3 m) X9\n";
    CHECK_FALSE(finding_of(with(buzzer), "floating"));
}

TEST_CASE("a converter whose supply a lamp holds low behind a resistor is off, not too much to feed") {
    // 47 ohm before lamp E9 of 48 V 130 W (17.7 ohm): 0.274 of the pack's 42 V.
    const auto shed = [](const std::string& lamp, const std::string& converter) {
        return check_text(
            "loom 1\nharness \"seed shed\" { ambient 10..30 degC, insulation pvc 105 degC }\n"
            "pack B1 { voltage 42..54.6 V, resistance 40 mohm, capacity 40 Ah }\n"
            "fuse F1 { 10 A, 58 V dc, breaks 2 kA at 58 V dc, curve iso8820-3 }\n"
            "resistor R1 { 47 ohm, 100 W }\nswitch S1 { 60 V dc, carries 15 A, makes 20 A, breaks 15 A }\n" +
            converter + "load E9 { 48 V, " + lamp +
            ", acts-as resistor, works 5..60 V }\nsplice X1\nsplice X2\n"
            "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.1 m) S1 (W3 2.5 mm2, 0.1 m) R1.in\n"
            "route R1.out (W4 2.5 mm2, 0.1 m) X1\nroute X1 (W5 2.5 mm2, 0.1 m) D1.in+\n"
            "route D1.in- (W6 2.5 mm2, 0.1 m) X2\nroute X1 (W7 2.5 mm2, 0.1 m) E9 (W8 2.5 mm2, 0.1 m) X2\n"
            "route X2 (W9 2.5 mm2, 0.1 m) B1.-\nmode off { others at rest }\n"
            "mode on { S1 closed, others at rest }\n");
    };
    const std::string idle =
        "converter D1 { input 36..60 V, output 12 V 5 A, efficiency 90 %, negative common, reverse blocked\n"
        "  standby 20 mA, spare out- out+ }\n";
    const Results low = shed("130 W", idle);
    const Finding* finding = finding_of(low, "cannot-be-fed", "D1");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->message == "converter D1 has too little voltage to work in mode on");
    REQUIRE(finding->figures.size() == 1);
    CHECK(finding->figures[0].value == Approx(42 * 17.72 / (17.72 + 47)).epsilon(0.01));
    // 2 W leave it 40 V.
    CHECK_FALSE(finding_of(shed("2 W", idle), "cannot-be-fed"));
}

}  // namespace never_fed_test
