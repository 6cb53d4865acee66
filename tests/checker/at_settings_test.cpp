// What modes do not say and settings allow: a controller that takes or gives back all that it may.
#include "checker/rules/rule_example.hpp"
#include "tests/checker/told.hpp"

namespace at_settings_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// A mild ride of the hoist, 8 A of a setting of 40 A.
std::string mild(std::string_view from, std::string_view to, std::string_view ride = "8 A") {
    return replaced(replaced(std::string(example_harness), "U1 draws 35 A", "U1 draws " + std::string(ride)),
                    from, to);
}

}  // namespace

TEST_CASE("a coil that lets go at the setting of a controller is told whatever the modes draw") {
    // The pack at its lowest has 39 V; of 40 A some 1.6 to 2.5 V are lost in it, of 8 A a fifth.
    const Told lets_go = told(mild("coil-works 30..60 V", "coil-works 37.8..60 V"), "coil-voltage", "K1");
    REQUIRE(lets_go);
    CHECK(lets_go.finding->severity == Severity::error);
    CHECK(lets_go.finding->working.back() ==
          "controller U1 takes its setting of 40 A, all else as in mode drive");
    // The same as where a mode says so, and nothing where it holds.
    const Told stated =
        told(mild("coil-works 30..60 V", "coil-works 37.8..60 V", "limit"), "coil-voltage", "K1");
    REQUIRE(stated);
    CHECK(figure(*lets_go.finding, "voltage") == Approx(figure(*stated.finding, "voltage")).epsilon(1e-6));
    CHECK_FALSE(told(mild("coil-works 30..60 V", "coil-works 36..60 V"), "coil-voltage"));
}

TEST_CASE("an input that falls below what it works at when the controller takes its setting is told") {
    const Told low = told(mild("input 30..60 V, capacitance 3 mF", "input 37.8..60 V, capacitance 3 mF"),
                          "undervoltage", "U1");
    REQUIRE(low);
    CHECK(low.finding->severity == Severity::warning);
    CHECK(low.finding->working.back() ==
          "controller U1 takes its setting of 40 A, all else as in mode drive");
    CHECK_FALSE(
        told(mild("input 30..60 V, capacitance 3 mF", "input 36..60 V, capacitance 3 mF"), "undervoltage"));
}

TEST_CASE("a contactor has to break what the setting of a controller lets flow") {
    const Told small =
        told(mild("breaks 100 A at 60 V dc", "breaks 10 A at 60 V dc"), "breaking-current", "K1");
    REQUIRE(small);
    CHECK(small.finding->severity == Severity::warning);
    CHECK(figure(*small.finding, "current") == Approx(40).epsilon(0.02));
    CHECK_FALSE(told(mild("breaks 100 A at 60 V dc", "breaks 42 A at 60 V dc"), "breaking-current"));
}

TEST_CASE("a returned current that only a setting tells of lifts all that hangs on the bus") {
    const auto lifted = [](std::string_view input) {
        std::string text(example_harness);
        text = replaced(text, "cell-resistance 20 mohm", "cell-resistance 120 mohm");
        text = replaced(text, "supply-limit 40 A, phase-peak 70 A, regen none",
                        "supply-limit 20 A, phase-peak 70 A, regen 14 A");
        text = replaced(text, "U1 draws 35 A", "U1 draws 20 A");
        return told(
            replaced(text, "converter D1 { input 30..60 V", "converter D1 { input " + std::string(input)),
            "regeneration-too-high", "U1");
    };
    // 13/6 x 120 mohm = 0.26 ohm: 14 A lift the full pack's 54.6 V by 3.6 V.
    const Told above = lifted("30..56 V");
    REQUIRE(above);
    CHECK(above.finding->severity == Severity::error);
    CHECK(above.finding->beside.find("converter D1: lifted to 58.") == 0);
    CHECK_FALSE(lifted("30..60 V"));
}

TEST_CASE("a polarised contactor is held to the current that a setting lets come back") {
    const auto with = [](std::string_view polarised, std::string_view regen) {
        return told(replaced(replaced(std::string(example_harness), "contactor K1 {",
                                      "contactor K1 {" + std::string(polarised)),
                             "regen none", "regen " + std::string(regen)),
                    "breaking-current", "K1");
    };
    const Told against = with(" polarised yes,", "14 A");
    REQUIRE(against);
    CHECK(against.finding->severity == Severity::warning);
    CHECK_FALSE(with(" polarised yes,", "none"));
    CHECK_FALSE(with("", "14 A"));
}

TEST_CASE("a motor that says what it draws blocked starts at that") {
    const auto mixer = [](std::string_view makes, std::string_view start) {
        return told(
            std::string(example_harness) + "load E9 \"mixer\" { 48 V, 8 A, works 30..60 V" +
                std::string(start) +
                " }\nfuse F9 { 15 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                "switch S9 { 80 V dc, carries 40 A, makes " +
                std::string(makes) +
                ", breaks 50 A at 60 V dc }\n"
                "route F1.out (W30 4 mm2, 0.15 m, red) F9 (W31 4 mm2, 1 m, red) S9 (W32 4 mm2, 1 m, red) "
                "E9 (W33 4 mm2, 1 m, black) Q1.P-\n"
                "mode mix { like drive, U1 draws 10 A, S9 closed }\n",
            "making-current", "S9");
    };
    const Told closes = mixer("12 A", ", stall 34 A");
    REQUIRE(closes);
    CHECK(closes.finding->severity == Severity::note);
    CHECK(figure(*closes.finding, "current") == Approx(34).epsilon(0.01));
    CHECK_FALSE(mixer("35 A", ", stall 34 A"));
    CHECK_FALSE(mixer("12 A", ""));
    // So does the coil that it drags down.
    const Told sags =
        told(replaced(std::string(example_harness), "coil-works 30..60 V", "coil-works 36..60 V") +
                 "load E9 \"mixer\" { 48 V, 8 A, works 30..60 V, stall 120 A }\n"
                 "fuse F9 { 15 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
                 "route F1.out (W30 4 mm2, 0.15 m, red) F9 (W31 4 mm2, 1 m, red) E9 (W33 4 mm2, 1 "
                 "m, black) Q1.P-\n",
             "starting-sag", "K1");
    REQUIRE(sags);
    CHECK(sags.finding->severity == Severity::note);
    // For how long it does so nobody needs to know of what it closes on.
    CHECK(mixer("12 A", ", inrush 34 A for unknown s"));
    // What it says of its start counts.
    CHECK_FALSE(mixer("12 A", ", stall 34 A, inrush 11 A for 0.1 s"));
}

TEST_CASE("a contactor in a motor lead carries the phase current") {
    const auto reversing = [](std::string_view carries) {
        std::string text(example_harness);
        text = replaced(text, "route U1.U (W20 10 mm2, 0.5 m, yellow) M1.U",
                        "route U1.U (W20 10 mm2, 0.25 m, yellow) K9 (W29 10 mm2, 0.25 m, yellow) M1.U");
        text = replaced(text, "K1 S1 closed", "K1 K9 S1 closed");
        return told(
            text + "contactor K9 { carries " + std::string(carries) +
                ", makes 20 A, breaks 90 A at 60 V dc, coil 48 V 100 mA, coil-works 30..60 V, suppression "
                "diode }\nroute X1 (W71 1 mm2, 0.4 m) K9.A1\nroute K9.A2 (W72 1 mm2, 1 m) Q1.P-\n",
            "overloaded-contact", "K9");
    };
    const Told small = reversing("20 A");
    REQUIRE(small);
    CHECK(small.finding->severity == Severity::error);
    CHECK_FALSE(reversing("60 A"));
}

}  // namespace at_settings_test
