// Texts without modes are judged in modes that the program makes: what those are in the wiring at hand, and
// that they cry no wolf.
#include <catch2/catch.hpp>

#include <sstream>
#include <string>

#include "tests/checker/checking.hpp"
#include "tests/checker/planted.hpp"

namespace own_modes_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

const std::string pack = R"(loom 1
harness "Net hauler" { ambient 5..35 degC }
pack B1 { voltage 40..54.6 V, resistance 30 mohm, discharge 80 A, charge 20 A, capacity 40 Ah }
fuse F1 { 60 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
busbar X0 { studs 12, carries 100 A }
busbar X1 { studs 12, carries 100 A }
route B1.+ (W1 16 mm2, 0.1 m, red) F1 (W2 16 mm2, 0.3 m, red) X1.1
route B1.- (W3 16 mm2, 0.1 m, black) X0.1
)";

const Mode& mode_of(const Results& results, std::string_view name) {
    for (const Mode& mode : results.harness->modes)
        if (mode.name == name) return mode;
    FAIL("no mode " << name);
    return results.harness->modes.front();
}

Posture posture_in(const Results& results, std::string_view mode, std::string_view part) {
    return mode_of(results, mode).states[results.harness->find_part(part)->index()].posture;
}

// Who uses the line of the assumption list that says this; empty: nobody.
std::string users_of(const Results& results, std::string_view value) {
    std::string users;
    for (const Assumption& line : results.assumptions)
        if (line.value.starts_with(value))
            for (const std::string& user : line.used_by) users += (users.empty() ? "" : " ") + user;
    return users;
}

std::string contactor(const std::string& name, const std::string& more) {
    return "contactor " + name +
           " { carries 100 A, makes 60 A, breaks 100 A at 80 V dc, coil 48 V 100 mA, coil-works 30..60 V\n"
           "  suppression diode, " +
           more + " }\n";
}

}  // namespace

TEST_CASE("a text without modes is solved and the list of assumptions says in which modes") {
    const Results results = check_text(pack + R"(
switch S1 { 80 V dc, carries 30 A, breaks 16 A at 60 V dc }
load E1 { 48 V, 200 W }
route X1.2 (W4 16 mm2, 1 m, red) S1 (W5 16 mm2, 1 m, red) E1 (W6 16 mm2, 1 m, black) X0.2
)");
    CHECK(results.harness->modes.size() == 2);
    for (const OperatingPoint& point : results.points) CHECK(point.usable());
    const WireLoading& lamp = results.wires[results.harness->find_wire("W4")->index()];
    REQUIRE(lamp.mode);
    CHECK(results.harness->modes[lamp.mode.index()].name == "everything on");
    CHECK(lamp.current_A > 3.6);  // 200 W / 54.6 V
    CHECK(users_of(results, "none are stated; judged at rest, with everything on") == "the harness");
    REQUIRE(finding_of(results, "no-mode"));
    CHECK(finding_of(results, "no-mode")->severity == Severity::note);
    CHECK(found(results, Severity::error).empty());
}

TEST_CASE("of two contactors that reverse a motor one stays open, and nothing is shorted") {
    std::string text = pack;
    for (const char* name : {"K1", "K2", "K3", "K4"}) text += contactor(name, "spare A1 A2");
    text += R"(load M1 { 48 V, 500 W, stall 40 A }
stud X2
stud X3
route X1.2 (W4 10 mm2, 0.3 m, red) K1 (W5 10 mm2, 0.3 m, red) X2
route X2 (W6 10 mm2, 0.3 m, red) K2 (W7 10 mm2, 0.3 m, black) X0.2
route X1.3 (W8 10 mm2, 0.3 m, red) K3 (W9 10 mm2, 0.3 m, red) X3
route X3 (W10 10 mm2, 0.3 m, red) K4 (W11 10 mm2, 0.3 m, black) X0.3
route X2 (W12 10 mm2, 0.3 m, red) M1 (W13 10 mm2, 0.3 m, black) X3
)";
    const Results results = check_text(text);
    CHECK_FALSE(finding_of(results, "dead-short"));
    CHECK_FALSE(finding_of(results, "coil-voltage"));
    // What is left feeds the motor.
    CHECK(users_of(results, "closed with everything else it would short B1") == "K2 K3");
    CHECK(posture_in(results, "everything on", "K1") == Posture::closed);
    CHECK(posture_in(results, "everything on", "K4") == Posture::closed);
}

TEST_CASE("a push that shorts the pack is left open, not the main switch before it") {
    const Results results = check_text(pack + R"(
switch S9 { 80 V dc, carries 1 A, breaks 50 mA at 60 V dc }
switch S1 { 80 V dc, carries 30 A, breaks 16 A at 60 V dc }
load E1 { 48 V, 200 W }
route X1.2 (W4 2.5 mm2, 1 m, red) S1 (W5 2.5 mm2, 1 m, red) E1 (W6 2.5 mm2, 1 m, black) X0.2
route S1.out (W7 2.5 mm2, 1 m, red) S9 (W8 2.5 mm2, 1 m, black) X0.3
)");
    CHECK_FALSE(finding_of(results, "dead-short"));
    CHECK(users_of(results, "closed with everything else it would short B1") == "S9");
    CHECK(finding_of(results, "short-when-closed", "S9"));  // somebody may push it all the same
}

TEST_CASE("a coil pulls in where it has a voltage, and only there") {
    const std::string drive = pack + contactor("K1", "resistance 0.4 mohm") +
                              "load E1 { 48 V, 200 W }\n"
                              "switch S1 { 80 V dc, carries 5 A, breaks 1 A at 60 V dc";
    const std::string wired = R"( }
route X1.2 (W4 10 mm2, 0.3 m, red) K1 (W5 10 mm2, 0.3 m, red) E1 (W6 10 mm2, 0.3 m, black) X0.2
fuse F2 { 3 A, 80 V dc, breaks 2 kA at 80 V dc, curve iso8820-3 }
route X1.3 (direct) F2 (W7 1 mm2, 0.3 m, red) S1 (W8 1 mm2, 0.3 m, red) K1.A1
)";
    const std::string home = "route K1.A2 (W9 1 mm2, 0.3 m, black) ";
    const Results fed = check_text(drive + wired + home + "X0.3\n");
    CHECK(posture_in(fed, "at rest", "K1") == Posture::open);
    CHECK(posture_in(fed, "everything on", "K1") == Posture::closed);

    // Behind a key that is closed at rest it is in at rest.
    const Results at_rest = check_text(drive + ", rest closed" + wired + home + "X0.3\n");
    CHECK(posture_in(at_rest, "at rest", "K1") == Posture::closed);

    // Both ends of the coil hang on plus.
    const Results dead = check_text(drive + wired + home + "X1.4\n");
    CHECK(posture_in(dead, "everything on", "K1") == Posture::open);
    CHECK(users_of(dead, "with everything on its coil gets no voltage") == "K1");

    // A coil that nothing is wired to is pulled by something that the text does not show.
    const Results unwired = check_text(
        pack + contactor("K1", "spare A1 A2") +
        "load E1 { 48 V, 200 W }\n"
        "route X1.2 (W4 10 mm2, 0.3 m, red) K1 (W5 10 mm2, 0.3 m, red) E1 (W6 10 mm2, 0.3 m, black) X0.2\n");
    CHECK(posture_in(unwired, "everything on", "K1") == Posture::closed);
    for (const Results* each : {&fed, &at_rest, &dead, &unwired}) {
        CHECK_FALSE(finding_of(*each, "mode-contradicts"));
        for (const OperatingPoint& point : each->points) CHECK(point.usable());
    }
    for (const Results* each : {&fed, &at_rest}) CHECK(found(*each, Severity::error).empty());
}

TEST_CASE("a coil that breaks its own circuit stays released") {
    const Results results = check_text(pack + R"(
relay K1 { contacts change-over, carries 10 A, breaks 2 A at 60 V dc, coil 48 V 15 mA, suppression diode }
load E1 { 48 V, 5 W }
route X1.2 (W4 1 mm2, 0.3 m, red) K1.com>nc (W5 1 mm2, 0.3 m, red) E1 (W6 1 mm2, 0.3 m, black) X0.2
route K1.nc (W7 1 mm2, 0.3 m, red) K1.A1
route K1.A2 (W8 1 mm2, 0.3 m, black) X0.3
)");
    CHECK(posture_in(results, "everything on", "K1") == Posture::released);
    CHECK_FALSE(finding_of(results, "mode-contradicts"));
}

TEST_CASE("of two relays that lock each other out one is energised with everything on") {
    std::string text = pack;
    for (const char* name : {"K1", "K2"})
        text += std::string("relay ") + name +
                " { contacts change-over, carries 10 A, breaks 2 A at 60 V dc, coil 48 V 15 mA, suppression "
                "diode }\n";
    const Results results = check_text(text + R"(
load E1 { 48 V, 5 W }
load E2 { 48 V, 5 W }
route X1.2 (W4 1 mm2, 0.3 m, red) K1.com>no (W5 1 mm2, 0.3 m, red) E1 (W6 1 mm2, 0.3 m, black) X0.2
route X1.3 (W7 1 mm2, 0.3 m, red) K2.com>no (W8 1 mm2, 0.3 m, red) E2 (W9 1 mm2, 0.3 m, black) X0.3
route K1.nc (W10 1 mm2, 0.3 m, red) K2.A1
route K2.nc (W11 1 mm2, 0.3 m, red) K1.A1
route K1.A2 (W12 1 mm2, 0.3 m, black) X0.4
route K2.A2 (W13 1 mm2, 0.3 m, black) X0.5
)");
    const Posture one = posture_in(results, "everything on", "K1");
    const Posture other = posture_in(results, "everything on", "K2");
    CHECK((one == Posture::energised) != (other == Posture::energised));
}

TEST_CASE("what one consumer overloads is an error, what several together do is a warning") {
    const std::string lamps = pack + R"(
load E1 { 48 V, 900 W, acts-as power }
load E2 { 48 V, 900 W, acts-as power }
stud X2
)";
    // 900 W are 23 A at 40 V: one for each 6 mm2, two for the one before them.
    const Results together = check_text(lamps + R"(
route X1.2 (W4 4 mm2, 1 m, red) X2
route X2 (W5 6 mm2, 1 m, red) S1 (W6 6 mm2, 1 m, red) E1 (W7 6 mm2, 1 m, black) X0.2
route X2 (W8 6 mm2, 1 m, red) S2 (W9 6 mm2, 1 m, red) E2 (W10 6 mm2, 1 m, black) X0.3
switch S1 { 80 V dc, carries 30 A, breaks 30 A at 60 V dc }
switch S2 { 80 V dc, carries 30 A, breaks 30 A at 60 V dc }
)");
    CHECK(gravest_of(together, "overloaded-wire", "W4") == Severity::warning);
    CHECK_FALSE(finding_of(together, "overloaded-wire", "W5"));
    const Results alone = check_text(lamps + R"(
route X1.2 (W4 16 mm2, 1 m, red) X2
route X2 (W5 6 mm2, 1 m, red) S1 (W6 1 mm2, 1 m, red) E1 (W7 6 mm2, 1 m, black) X0.2
route X2 (W8 6 mm2, 1 m, red) S2 (W9 6 mm2, 1 m, red) E2 (W10 6 mm2, 1 m, black) X0.3
switch S1 { 80 V dc, carries 30 A, breaks 30 A at 60 V dc }
switch S2 { 80 V dc, carries 30 A, breaks 30 A at 60 V dc }
)");
    CHECK(gravest_of(alone, "overloaded-wire", "W6") == Severity::error);
    // Without switches both draw at rest, as a harness does stand: no mode would say less.
    const Results at_rest = check_text(lamps + R"(
route X1.2 (W4 4 mm2, 1 m, red) X2
route X2 (W5 6 mm2, 1 m, red) E1 (W7 6 mm2, 1 m, black) X0.2
route X2 (W8 6 mm2, 1 m, red) E2 (W10 6 mm2, 1 m, black) X0.3
)");
    CHECK(gravest_of(at_rest, "overloaded-wire", "W4") == Severity::error);
}

TEST_CASE(
    "a contactor with a precharge beside it closes onto nothing that can be told of, one without does") {
    const std::string drive = pack + contactor("K1", "spare A1 A2") + R"(
controller U1 { input 30..60 V, capacitance 4 mF, regen none, supply-limit 40 A }
route X1.2 (W4 16 mm2, 0.3 m, red) K1 (W5 16 mm2, 0.3 m, red) U1.+
route U1.- (W6 16 mm2, 0.3 m, black) X0.2
)";
    CHECK(gravest_of(check_text(drive), "no-precharge", "K1") == Severity::error);
    const Results with = check_text(drive + R"(
relay K2 { contacts no, carries 10 A, breaks 2 A at 60 V dc, coil 48 V 15 mA, suppression diode, spare A1 A2 }
resistor R1 { 100 ohm, 25 W, pulse 60 J }
route K1.in (W7 1 mm2, 0.2 m, red) K2 (W8 1 mm2, 0.2 m, red) R1 (W9 1 mm2, 0.2 m, red) K1.out
)");
    CHECK_FALSE(finding_of(with, "no-precharge"));
    CHECK_FALSE(finding_of(with, "charging-surge"));
}

TEST_CASE("a controller that nothing feeds with everything on is a note: the mode is not the user's") {
    const Results results = check_text(pack + R"(
controller U1 { input 30..60 V, capacitance 1 mF, regen none, supply-limit 40 A }
route X1.2 (W4 16 mm2, 0.3 m, red) U1.-
)");
    CHECK(gravest_of(results, "mode-contradicts", "everything on") == Severity::note);
}

TEST_CASE("a charger is judged at its limit, with nothing else on") {
    const Results results = check_text(pack + R"(
charger G1 { output 54.6 V 30 A }
fuse F2 { 40 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-5 }
route X1.2 (W4 10 mm2, 0.3 m, red) F2 (W5 10 mm2, 0.3 m, red) G1.+
route G1.- (W6 10 mm2, 0.3 m, black) X0.2
)");
    CHECK(results.harness->modes.back().name == "charging");
    CHECK(gravest_of(results, "overdrawn-pack", "B1") == Severity::error);
}

TEST_CASE("a sound example without its modes has no error") {
    for (const char* name : {"market-cart.loom", "launch-24v.loom", "yard-crane-96v.loom", "ice-sweeper.loom",
                             "bench-rig-12v.loom", "greenhouse-line.loom"}) {
        std::istringstream lines(planted::Sound(name).text);
        std::string line, text;
        int depth = 0;
        while (std::getline(lines, line)) {
            if (depth == 0 && !line.starts_with("mode ")) {
                text += line + "\n";
                continue;
            }
            for (const char c : line) depth += c == '{' ? 1 : c == '}' ? -1 : 0;
        }
        ReadResult read = planted::read_example(name, text);
        INFO(name);
        REQUIRE(read.harness);
        const Results results = check(std::make_shared<const Harness>(std::move(*read.harness)));
        CHECK(results.harness->modes.front().own);
        CHECK(found(results, Severity::error) == std::vector<std::string>{});
        // Nor is one of its coils told to be without a voltage: all of them have one with everything on.
        CHECK(users_of(results, "with everything on its coil gets no voltage").empty());
    }
}

TEST_CASE(
    "with everything on, what one consumer takes alone is an error, and what only their sum is, a warning") {
    // 16 mm2 may carry 74.5 A at 35 degC, the busbars 100 A, the pack gives 80 A.
    const auto two = [](const std::string& first, const std::string& second) {
        return check_text(
            pack +
            "switch S1 { 80 V dc, carries 100 A, breaks 100 A at 60 V dc }\n"
            "switch S2 { 80 V dc, carries 100 A, breaks 100 A at 60 V dc }\n"
            "load E1 { 48 V, " +
            first + ", acts-as current }\nload E2 { 48 V, " + second +
            ", acts-as current }\n"
            "route X1.2 (W4 16 mm2, 1 m, red) S1 (W5 16 mm2, 1 m, red) E1 (W6 16 mm2, 1 m, black) X0.2\n"
            "route X1.3 (W7 16 mm2, 1 m, red) S2 (W8 16 mm2, 1 m, red) E2 (W9 16 mm2, 1 m, black) X0.3\n");
    };
    const Results sum = two("40 A", "50 A");
    REQUIRE(finding_of(sum, "overdrawn-pack", "B1"));
    CHECK(finding_of(sum, "overdrawn-pack", "B1")->severity == Severity::warning);
    CHECK(finding_of(sum, "overloaded-fuse", "F1")->severity == Severity::warning);
    const Results alone = two("81 A", "10 A");
    CHECK(finding_of(alone, "overdrawn-pack", "B1")->severity == Severity::error);
    CHECK(finding_of(alone, "overloaded-fuse", "F1")->severity == Severity::error);
}

TEST_CASE("what no switch tells apart comes on together") {
    const auto heaters = [](const std::string& second) {
        return check_text(
            pack +
            "switch S1 { 80 V dc, carries 100 A, breaks 100 A at 60 V dc }\n"
            "switch S2 { 80 V dc, carries 100 A, breaks 100 A at 60 V dc }\n"
            "connector J1 { mate P1, contacts h, carries 20 A, 80 V, rated-at 40 degC, limit 105 degC }\n"
            "load E1 { 48 V, 15 A, acts-as current }\nload E2 { 48 V, 15 A, acts-as current }\n"
            "stud X2\nstud X3\n"
            "route X1.2 (W4 6 mm2, 1 m, red) S1 (W5 6 mm2, 1 m, red) X2\n"
            "route X2 (W6 6 mm2, 1 m, red) E1 (W7 6 mm2, 1 m, black) X3\n" +
            second + "route X3 (W10 6 mm2, 0.1 m, black) J1.h\nroute P1.h (W11 6 mm2, 0.1 m, black) X0.2\n");
    };
    const Results both = heaters(
        "route X2 (W8 6 mm2, 1 m, red) E2 (W9 6 mm2, 1 m, black) X3\nswitch S3 { 80 V dc, carries 1 A }\n");
    REQUIRE(finding_of(both, "overloaded-contact", "J1.h"));
    CHECK(finding_of(both, "overloaded-contact", "J1.h")->severity == Severity::error);
    const Results apart =
        heaters("route X2 (W8 6 mm2, 1 m, red) S2 (W12 6 mm2, 1 m, red) E2 (W9 6 mm2, 1 m, black) X3\n");
    REQUIRE(finding_of(apart, "overloaded-contact", "J1.h"));
    CHECK(finding_of(apart, "overloaded-contact", "J1.h")->severity == Severity::warning);
}

TEST_CASE("what is certain of one alone is so at both ends of what is open") {
    // 60 A of setting are what the fuse carries; with 40 A beside it they are too much, and nobody says that
    // they run together.
    const auto inverter = [](const std::string& power) {
        return check_text(
            pack +
            "switch S1 { 80 V dc, carries 100 A, breaks 100 A at 60 V dc }\n"
            "switch S2 { 80 V dc, carries 100 A, breaks 100 A at 60 V dc }\n"
            "inverter E1 { " +
            power +
            ", input 38..60 V }\nload E2 { 48 V, 30 A, acts-as current }\n"
            "route X1.2 (W4 16 mm2, 1 m, red) S1 (W5 16 mm2, 1 m, red) E1 (W6 16 mm2, 1 m, black) X0.2\n"
            "route X1.3 (W7 16 mm2, 1 m, red) S2 (W8 16 mm2, 1 m, red) E2 (W9 16 mm2, 1 m, black) X0.3\n");
    };
    const Results both = inverter("1.5 kW");
    const Finding* pack_told = finding_of(both, "overdrawn-pack", "B1");
    CHECK((!pack_told || pack_told->severity != Severity::error || pack_told->possible));
    const Results alone = inverter("6 kW");
    REQUIRE(finding_of(alone, "overdrawn-pack", "B1"));
    CHECK(finding_of(alone, "overdrawn-pack", "B1")->severity == Severity::error);
    CHECK_FALSE(finding_of(alone, "overdrawn-pack", "B1")->possible);
}

}  // namespace own_modes_test
