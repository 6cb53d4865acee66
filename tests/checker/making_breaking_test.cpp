// What contacts close on, what they open, and what stays live for a finger.
#include <catch2/catch.hpp>
#include <cmath>

#include "checker/rules/rule_example.hpp"
#include "checker/tables/formulas.hpp"
#include "tests/checker/checking.hpp"
#include "tests/checker/planted.hpp"

namespace making_breaking_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string changed(std::string_view from, std::string_view to) {
    return replaced(std::string(example_harness), from, to);
}

// 84 V when full, a plug on the way.
std::string high_voltage(std::string_view plug, std::string_view capacitor, std::string_view modes) {
    return "loom 1\n"
           "harness \"Class B\" { ambient 20..20 degC, insulation pvc 90 degC }\n"
           "pack B1 { voltage 60..84 V, resistance 30 mohm, capacity 10 Ah, discharge 60 A, charge 10 A }\n"
           "fuse F1 { 40 A, 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }\n"
           "switch S1 { 125 V dc, carries 60 A, makes 6 kA, breaks 60 A at 125 V dc }\n"
           "connector J1 { mate P1, " +
           std::string(plug) +
           ", contacts 2, carries 60 A, 125 V, takes 10..16 mm2, rated-at 30 degC, limit 105 degC }\n"
           "load H1 { 72 V, 70 W, acts-as power, works 50..90 V }\n" +
           std::string(capacitor) +
           "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.1 m, red) S1 (W3 16 mm2, 0.1 m, red) J1.1\n"
           "route P1.1 (W4 16 mm2, 0.1 m, red) H1 (W5 16 mm2, 0.1 m, black) P1.2\n"
           "route J1.2 (W6 16 mm2, 0.1 m, black) B1.-\n" +
           std::string(modes);
}

}  // namespace

TEST_CASE("a surge is held against what a contact makes; where nobody says, against what it carries") {
    const auto surging = [](std::string_view contact) {
        return check_text(
            replaced(changed("works 30..60 V }\nsplice", "works 30..60 V, inrush 20 A for 20 ms }\nsplice"),
                     "switch S1 { 80 V dc, carries 5 A,", contact));
    };
    const Results unsaid = surging("switch S1 { 80 V dc, carries 5 A,");
    CHECK(found(unsaid, Severity::error) == std::vector<std::string>{"making-current S1"});
    CHECK(finding_of(unsaid, "making-current")->possible);
    CHECK(found(surging("switch S1 { 80 V dc, carries 5 A, makes 10 A,"), Severity::error) ==
          std::vector<std::string>{"making-current S1"});
    CHECK(found(surging("switch S1 { 80 V dc, carries 5 A, makes 25 A,"), Severity::error).empty());
    CHECK(found(surging("switch S1 { 80 V dc, carries 25 A,"), Severity::error).empty());
    // 20 A of H2, the coil's 48 V / 240 ohm and 20 W / 88 % of D1 beside.
    CHECK(figure(*finding_of(unsaid, "making-current"), "current") == Approx(20 + 0.2 + 0.6).epsilon(0.02));
}

TEST_CASE("a surge is followed beside loads behind open switches, which draw nothing") {
    // The starter takes 600 A while the lights and the thruster are off.
    const planted::Sound launch("launch-24v.loom");
    ReadResult read = planted::read_example(
        launch.name, replaced(launch.text, "carries 300 A, makes 600 A", "carries 300 A, makes 500 A"));
    REQUIRE(read.harness);
    const Results results = check(std::make_shared<const Harness>(std::move(*read.harness)));
    // Neither of the two contacts on its way can take it now, where K2 could before.
    CHECK(found(results, Severity::error) ==
          std::vector<std::string>{"making-current K2", "making-current S2"});
    REQUIRE(finding_of(results, "making-current"));
    CHECK(figure(*finding_of(results, "making-current"), "current") == Approx(600).epsilon(0.01));
}

TEST_CASE("what anybody may open is held against what it breaks, and more so where a mode follows") {
    const std::string weak = changed("breaks 100 A at 60 V dc\n", "breaks 20 A at 60 V dc\n");
    CHECK(found(check_text(weak), Severity::warning) == std::vector<std::string>{"breaking-current K1"});
    CHECK(found(check_text(weak), Severity::error).empty());
    const Results stated = check_text(weak + "mode struck { others at rest, after drive 1 s }\n");
    CHECK(found(stated, Severity::error) == std::vector<std::string>{"breaking-current K1"});
    CHECK(found(stated, Severity::warning).empty());
    CHECK(figure(*finding_of(stated, "breaking-current"), "current") == Approx(35).epsilon(0.01));
    CHECK(finding_of(check_text(changed("breaks 100 A at 60 V dc\n", "breaks 36 A at 60 V dc\n")),
                     "breaking-current") == nullptr);
}

TEST_CASE("a connector breaks nothing unless it says so") {
    const std::string pulled =
        std::string(example_harness) +
        "mode pulled { others at rest, after drive 1 s, K1 S1 closed, J1 unmated, U1 at rest }\n";
    CHECK(found(check_text(pulled), Severity::error) == std::vector<std::string>{"breaking-current J1.1"});
    CHECK(finding_of(check_text(replaced(pulled, "carries 80 A, 90 V",
                                         "carries 80 A, 90 V, breaks 40 A at 60 V dc")),
                     "breaking-current") == nullptr);
    // After the controller has let go there is nothing to break.
    CHECK(finding_of(check_text(replaced(
                         pulled, "U1 draws 35 A, U1 phases 60 A }\nmode pulled { others at rest, after drive",
                         "U1 draws 35 A, U1 phases 60 A }\nmode still { like drive, U1 at rest }\n"
                         "mode pulled { others at rest, after still")),
                     "breaking-current") == nullptr);
}

TEST_CASE("a polarised contactor that regeneration flows through backwards is an error") {
    const std::string text = replaced(changed("regen none }", "regen 12 A }"), "suppression diode\n}",
                                      "suppression diode, polarised yes\n}");
    // No mode returns anything, and the setting lets it come.
    CHECK(found(check_text(text), Severity::warning) == std::vector<std::string>{"breaking-current K1"});
    CHECK(finding_of(check_text(replaced(text, "regen 12 A", "regen none")), "breaking-current") == nullptr);
    const std::string down = "mode down { like drive, U1 returns 10 A }\n";
    const Results results = check_text(text + down);
    const Finding* finding = finding_of(results, "breaking-current");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::error);
    CHECK(figure(*finding, "current") == Approx(10).epsilon(0.15));
    CHECK(finding_of(check_text(replaced(text + down, "polarised yes", "polarised no")),
                     "breaking-current") == nullptr);
}

TEST_CASE("pins that stay on a pack are warned of, sockets at 54.6 V are not") {
    CHECK(finding_of(check_text(std::string(example_harness)), "live-when-unmated") == nullptr);
    const Results results = check_text(changed("half socket", "half pin"));
    CHECK(found(results, Severity::warning) == std::vector<std::string>{"live-when-unmated J1"});
    CHECK(figure(*finding_of(results, "live-when-unmated"), "voltage") == Approx(54.6).epsilon(0.05));
}

TEST_CASE("above 60 V any half that stays on a pack in a mode that has it unmated is an error") {
    const std::string live = "mode apart { J1 unmated, S1 closed }\nmode on { S1 closed }\n";
    const Results sockets = check_text(high_voltage("half socket", "", live));
    REQUIRE(finding_of(sockets, "live-when-unmated"));
    CHECK(finding_of(sockets, "live-when-unmated")->severity == Severity::error);
    CHECK(figure(*finding_of(sockets, "live-when-unmated"), "voltage") == Approx(84).epsilon(0.01));
    // With the switch before it open nothing is live, sockets or pins.
    const std::string dead = "mode apart { J1 unmated, others at rest }\nmode on { S1 closed }\n";
    CHECK(finding_of(check_text(high_voltage("half pin", "", dead)), "live-when-unmated") == nullptr);
    // Where no mode parts it, pulling it under way is a warning.
    const Results pulled = check_text(high_voltage("half socket", "", "mode on { S1 closed }\n"));
    REQUIRE(finding_of(pulled, "live-when-unmated"));
    CHECK(finding_of(pulled, "live-when-unmated")->severity == Severity::warning);
    CHECK(finding_of(check_text(replaced(high_voltage("half socket", "", live), "60..84 V", "40..59 V")),
                     "live-when-unmated") == nullptr);
}

TEST_CASE("capacitors above 60 V have five seconds once they are cut off, one where a plug shows them") {
    const std::string modes = "mode off { others at rest }\nmode on { S1 closed }\n";
    const auto with_bleed = [&](std::string_view bleed) {
        // Between the switch and the plug.
        return check_text(high_voltage("half socket",
                                       "capacitor C1 { 2 mF, 100 V" + std::string(bleed) +
                                           " }\nroute S1.out (direct) C1 (direct) J1.2\n",
                                       modes));
    };
    // t = R C ln(84/60): 6.74 s at 10 kohm, 4.71 s at 7 kohm.
    const Results slow = with_bleed(", bleed 10 kohm");
    REQUIRE(finding_of(slow, "charged-after-opening"));
    CHECK(finding_of(slow, "charged-after-opening")->severity == Severity::warning);
    CHECK(figure(*finding_of(slow, "charged-after-opening"), "needed") ==
          Approx(10e3 * 2e-3 * std::log(84 / 60.0)).epsilon(2e-3));
    CHECK(figure(*finding_of(slow, "charged-after-opening"), "voltage after 5 s") ==
          Approx(84 * std::exp(-5 / 20.0)).epsilon(2e-3));
    CHECK(finding_of(with_bleed(", bleed 7 kohm"), "charged-after-opening") == nullptr);
    const Results never = with_bleed("");
    REQUIRE(finding_of(never, "charged-after-opening"));
    CHECK(finding_of(never, "charged-after-opening")->beside.find("nothing drains them") !=
          std::string::npos);
    // 20 uF hold 0.07 J.
    const std::string small = high_voltage(
        "half socket", "capacitor C1 { 20 uF, 100 V }\nroute S1.out (direct) C1 (direct) J1.2\n", modes);
    CHECK(finding_of(check_text(small), "charged-after-opening") == nullptr);
    const std::string parted = high_voltage(
        "half socket", "capacitor C1 { 2 mF, 100 V, bleed 7 kohm }\nroute S1.out (direct) C1 (direct) J1.2\n",
        "mode off { J1 unmated, others at rest }\nmode on { S1 closed }\n");
    const Results shown = check_text(parted);
    REQUIRE(finding_of(shown, "charged-after-opening"));
    CHECK(finding_of(shown, "charged-after-opening")->severity == Severity::error);
}

TEST_CASE("what a part draws in standby drains the capacitors beside it as its own") {
    const auto beside = [](const std::string& standby) {
        return check_text(high_voltage(
            "half socket",
            "capacitor C1 { 2 mF, 100 V }\nroute S1.out (direct) C1 (direct) J1.2\n"
            "controller U1 { input 50..95 V, capacitance 100 uF, supply-limit 10 A, regen none, spare U V W\n"
            "  standby " +
                standby + " }\nroute S1.out (direct) U1.+\nroute U1.- (direct) J1.2\n",
            "mode off { others at rest }\nmode on { S1 closed, others at rest }\n"));
    };
    // C dU / I = 2.1 mF x (84 - 60) V / I: 4.95 s at 10.2 mA, 5.14 s at 9.8 mA.
    CHECK_FALSE(finding_of(beside("10.2 mA"), "charged-after-opening"));
    const Results slow = beside("9.8 mA");
    CHECK(finding_of(slow, "charged-after-opening", "C1"));
    CHECK(finding_of(slow, "charged-after-opening", "U1"));
}

namespace {

// A chipper that a relay switches, behind a fuse or nothing that opens on its stall current.
Results chipper(std::string_view relay_breaks, std::string_view isolator_breaks, std::string_view stall,
                std::string_view fuse = "40 A") {
    return check_text(
        "loom 1\nharness \"Chipper\" { ambient 20..25 degC, insulation xlpe 105 degC }\n"
        "pack B1 { voltage 22..28.8 V, resistance 10..14 mohm, capacity 120 Ah, discharge 100 A, charge 20 A "
        "}\n"
        "fuse F1 { " +
        std::string(fuse) +
        ", 58 V dc, breaks 10 kA at 58 V dc, curve iso8820-5, rated-at 23 degC }\n"
        "fuse F2 { 2 A, 125 V dc, breaks 20 kA at 125 V dc, curve ul248-14, clears 20 A2s }\n"
        "relay K1 { contacts no, carries 60 A, makes 120 A, breaks " +
        std::string(relay_breaks) +
        " at 32 V dc, coil 24 V 100 mA, coil-works 16..32 V, suppression diode }\n"
        "switch S1 { 48 V dc, carries 60 A, makes 100 A, breaks " +
        std::string(isolator_breaks) +
        " at 48 V dc }\n"
        "switch S2 { 48 V dc, carries 6 A, makes 6 A, breaks 2 A at 48 V dc }\n"
        "load M1 { 24 V, 14 A, acts-as current, works 18..30 V" +
        std::string(stall) +
        " }\n"
        "route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.4 m, red) S1 (W3 16 mm2, 0.5 m, red) K1 (W5 16 "
        "mm2, 0.5 m, "
        "red) M1 (W6 16 mm2, 1 m, black) B1.-\n"
        "route S1.out (direct) F2 (W7 1 mm2, 0.5 m, red) S2 (W8 1 mm2, 0.5 m, red) K1.A1\n"
        "route K1.A2 (W9 1 mm2, 0.5 m, black) B1.-\n"
        "mode off { others at rest }\nmode feed { S1 S2 closed, K1 energised }\n");
}
std::vector<std::string> stalls(const Results& results) {
    std::vector<std::string> subjects;
    for (const Finding& finding : results.findings)
        if (finding.rule == "breaking-current" && finding.message.find("blocked") != std::string::npos) {
            CHECK(finding.severity == Severity::warning);
            subjects.push_back(finding.subject);
        }
    return subjects;
}
using Told = std::vector<std::string>;

}  // namespace

TEST_CASE("a contact is held to what a blocked motor draws where no device is sure to open") {
    // 50 A through 40 A: nothing promises that it opens. The coil's 0.1 A does not pass the relay.
    CHECK(stalls(chipper("49.95 A", "60 A", ", stall 50 A")) == Told{"K1"});
    CHECK(stalls(chipper("50.05 A", "60 A", ", stall 50 A")).empty());
    CHECK(stalls(chipper("15 A", "60 A", "")).empty());
    // One that can break it, nearer to the motor, is the one to use; one that cannot does not excuse another.
    CHECK(stalls(chipper("60 A", "20 A", ", stall 50 A")).empty());
    CHECK(stalls(chipper("20 A", "20 A", ", stall 50 A")) == Told{"K1", "S1"});
}

TEST_CASE("where a device is sure to open a contact breaks three times as much, and nothing after a second") {
    // 78 A through 40 A: some twice as much, opens between 2 s and a minute.
    CHECK(stalls(chipper("25.97 A", "95 A", ", stall 78 A")) == Told{"K1"});
    CHECK(stalls(chipper("26.03 A", "95 A", ", stall 78 A")).empty());
    // Six times as much may open at once.
    CHECK(stalls(chipper("15 A", "300 A", ", stall 240 A")).empty());
}

TEST_CASE("a contact that breaks none and that a coil opens is warned of in every mode that has it carry") {
    const std::string none = changed("breaks 100 A at 60 V dc\n  coil", "breaks none\n  coil");
    const Finding* finding = nullptr;
    const Results results = check_text(none);
    REQUIRE((finding = finding_of(results, "breaking-current", "K1")));
    CHECK(finding->severity == Severity::warning);
    CHECK(finding->beside.find("breaks none") != std::string::npos);
    // With another contactor in line that breaks it, and with a switch that a hand waits at, nobody is told.
    CHECK_FALSE(
        finding_of(check_text(replaced(
                       replaced(replaced(none, "connector J1",
                                         "contactor K9 { carries 100 A, makes 60 A, "
                                         "breaks 100 A at 60 V dc, coil 48 V 200 mA, coil-works 30..60 V, "
                                         "suppression diode }\nconnector J1"),
                                "K1 (W3 16 mm2, 0.8 m, red) J1.1",
                                "K1 (W3 16 mm2, 0.8 m, red) K9 (W90 16 mm2, 0.2 m, red) J1.1\n"
                                "route K1.A1 (W91 1 mm2, 0.2 m, orange) K9.A1\n"
                                "route K1.A2 (W92 1 mm2, 0.2 m, black) K9.A2"),
                       "K1 S1 closed", "K1 K9 S1 closed")),
                   "breaking-current", "K1"));
    CHECK_FALSE(
        finding_of(check_text(changed("breaks 2 A at 60 V dc }\nconverter", "breaks none }\nconverter")),
                   "breaking-current", "S1"));
}

TEST_CASE("a selector that breaks none is warned of where nothing else opens between two of its positions") {
    const auto lamps = [](const std::string& breaks, const std::string& between) {
        return check_text(
            "loom 1\nharness \"stage lamps\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 22..28.8 V, resistance 20 mohm, capacity 60 Ah, discharge 60 A, charge 20 A "
            "}\n"
            "fuse F1 { 20 A, 32 V dc, breaks 6 kA at 32 V dc, curve iso8820-3 }\n"
            "switch S1 { 32 V dc, carries 30 A, makes 40 A, breaks 30 A at 32 V dc }\n"
            "selector S9 { terminals a b c, position off, position low a b, position high a c, 36 V dc\n"
            "  carries 20 A, makes 30 A, breaks " +
            breaks +
            " }\nload E1 { 24 V, 8 A, acts-as current, works 18..30 V }\n"
            "load E2 { 24 V, 12 A, acts-as current, works 18..30 V }\nsplice X2 { carries 30 A }\n"
            "route B1.+ (W1 6 mm2, 0.1 m) F1 (W2 6 mm2, 0.1 m) S1 (W3 6 mm2, 0.2 m) S9.a\n"
            "route S9.b (W4 6 mm2, 0.2 m) E1 (W5 6 mm2, 0.2 m) X2\n"
            "route S9.c (W6 6 mm2, 0.2 m) E2 (W7 6 mm2, 0.2 m) X2\nroute X2 (W8 6 mm2, 0.2 m) B1.-\n"
            "mode off { others at rest }\nmode low { S1 closed, S9 at low, others at rest }\n" +
            between);
    };
    const std::string high = "mode high { like low, S9 at high }\n";
    const Results none = lamps("none", high);
    const Finding* finding = finding_of(none, "breaking-current", "S9");
    REQUIRE(finding);
    CHECK(finding->severity == Severity::warning);
    CHECK(figure(*finding, "current") == Approx(12).epsilon(0.01));
    CHECK_FALSE(finding_of(lamps("15 A at 32 V dc", high), "breaking-current", "S9"));
    // The switch before it opens first.
    CHECK_FALSE(finding_of(lamps("none", ""), "breaking-current", "S9"));
}

}  // namespace making_breaking_test
