// What a diode holds off in reverse, and that a diode or a reversing pair hides no voltage from the rest.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace diode_voltages_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

bool told(const Results& results, std::string_view rule, std::string_view subject) {
    return std::any_of(results.findings.begin(), results.findings.end(), [&](const Finding& finding) {
        return finding.rule == rule && finding.subject == subject && finding.severity == Severity::error;
    });
}

// A brake with a diode across it, 96 V.
std::string brake(const std::string& diode, const std::string& fuse = "160 V dc") {
    return "loom 1\nharness \"hoist brake\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
           "pack B1 { voltage 80..109 V, resistance 30..45 mohm, capacity 80 Ah, discharge 120 A, charge 30 "
           "A "
           "}\n"
           "fuse F1 { 5 A, " +
           fuse +
           ", breaks 10 kA at 160 V dc, curve ul248-14, clears 60 A2s }\n"
           "switch S1 { 125 V dc, carries 10 A, makes 20 A, breaks 6 A at 125 V dc }\n"
           "load Y1 { 96 V, 1 A, acts-as resistor, works 60..120 V }\ndiode V1 { 6 A, " +
           diode +
           ", drop 0.8 V }\nstud X1\nstud X2\n"
           "route B1.+ (W1 1.5 mm2, 0.12 m, red) F1 (W2 1.5 mm2, 0.3 m, red) S1 (W3 1.5 mm2, 1 m, red) X1\n"
           "route X1 (W4 1.5 mm2, 0.1 m, red) Y1 (W5 1.5 mm2, 0.1 m, black) X2\n"
           "route X2 (W6 1.5 mm2, 0.1 m, black) V1 (W7 1.5 mm2, 0.1 m, red) X1\n"
           "route X2 (W8 1.5 mm2, 1 m, black) B1.-\n"
           "mode off { others at rest }\nmode lift { S1 closed }\n";
}

}  // namespace

TEST_CASE("a diode across a load holds off all that the load is fed") {
    CHECK(told(check_text(brake("108.9 V")), "contact-voltage", "V1"));
    CHECK_FALSE(told(check_text(brake("109.1 V")), "contact-voltage", "V1"));
    CHECK(found(check_text(brake("200 V")), Severity::error).empty());
}

TEST_CASE("a diode across a load does not hide what stands across the fuse before it") {
    CHECK(told(check_text(brake("200 V", "108.9 V dc")), "fuse-voltage", "F1"));
    CHECK_FALSE(told(check_text(brake("200 V", "109.1 V dc")), "fuse-voltage", "F1"));
}

TEST_CASE("a diode across a load on a driver pin holds off what the driver switches, on either side") {
    const auto driven = [](const std::string& side, const std::string& diode) {
        const bool low = side == "low-side";
        return check_text(
            "loom 1\nharness \"hoist brake\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 40..54.6 V, resistance 30..45 mohm, capacity 80 Ah, discharge 120 A, charge "
            "30 "
            "A "
            "}\n"
            "fuse F1 { 5 A, 80 V dc, breaks 10 kA at 80 V dc, curve ul248-14, clears 60 A2s }\n"
            "device A1 { pin v supply 50 mA, pin gnd return, pin y " +
            side + " 3 A }\nload Y1 { 48 V, 1 A, acts-as resistor, works 30..60 V }\ndiode V1 { 6 A, " +
            diode +
            ", drop 0.8 V }\nstud X1\nstud X2\nstud X3\nstud X4\n"
            "route B1.+ (W1 1.5 mm2, 0.12 m, red) F1 (W2 1.5 mm2, 0.3 m, red) X3\n"
            "route X3 (W3 1.5 mm2, 0.3 m, red) A1.v\nroute A1.gnd (W9 1.5 mm2, 0.3 m, black) X4\n"
            "route X1 (W4 1.5 mm2, 0.1 m) Y1 (W5 1.5 mm2, 0.1 m) X2\n"
            "route X2 (W6 1.5 mm2, 0.1 m) V1 (W7 1.5 mm2, 0.1 m) X1\n" +
            (low ? "route X3 (W10 1.5 mm2, 0.1 m, red) X1\nroute A1.y (W11 1.5 mm2, 0.5 m) X2\n"
                 : "route A1.y (W10 1.5 mm2, 0.1 m) X1\nroute X2 (W11 1.5 mm2, 0.5 m, black) X4\n") +
            "route X4 (W8 1.5 mm2, 1 m, black) B1.-\n"
            "mode off { others at rest }\nmode lift { A1.y on }\n");
    };
    for (const std::string side : {"low-side", "high-side"}) {
        INFO(side);
        CHECK(told(driven(side, "54.5 V"), "contact-voltage", "V1"));
        CHECK_FALSE(told(driven(side, "54.7 V"), "contact-voltage", "V1"));
    }
}

TEST_CASE("a diode that keeps two supplies apart holds off the higher one while its own is off") {
    const auto apart = [](const std::string& first, const std::string& second) {
        return check_text(
            "loom 1\nharness \"two supplies\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 20..28 V, resistance 10..15 mohm, capacity 80 Ah, discharge 120 A, charge 30 "
            "A "
            "}\n"
            "pack B2 { voltage 40..54.6 V, resistance 30..45 mohm, capacity 80 Ah, discharge 120 A, charge "
            "30 "
            "A "
            "}\n"
            "fuse F1 { 5 A, 80 V dc, breaks 10 kA at 80 V dc, curve ul248-14, clears 60 A2s }\n"
            "fuse F2 { 5 A, 80 V dc, breaks 10 kA at 80 V dc, curve ul248-14, clears 60 A2s }\n"
            "diode V1 { 6 A, " +
            first + ", drop 0.8 V }\ndiode V2 { 6 A, " + second +
            ", drop 0.8 V }\nload E1 { 48 V, 1 A, acts-as resistor, works 15..60 V }\nstud X1\nstud X2\n"
            "route B1.+ (W1 1.5 mm2, 0.12 m, red) F1 (W2 1.5 mm2, 0.3 m, red) V1 (W3 1.5 mm2, 0.1 m, red) "
            "X1\n"
            "route B2.+ (W4 1.5 mm2, 0.12 m, red) F2 (W5 1.5 mm2, 0.3 m, red) V2 (W6 1.5 mm2, 0.1 m, red) "
            "X1\n"
            "route X1 (W7 1.5 mm2, 0.3 m, red) E1 (W8 1.5 mm2, 0.3 m, black) X2\n"
            "route X2 (W9 1.5 mm2, 0.3 m, black) B1.-\nroute X2 (W10 1.5 mm2, 0.3 m, black) B2.-\n"
            "mode on { others at rest }\n");
    };
    CHECK(told(apart("54.5 V", "80 V"), "contact-voltage", "V1"));
    CHECK_FALSE(told(apart("54.7 V", "80 V"), "contact-voltage", "V1"));
}

TEST_CASE("a diode inside a string of packs holds off what lies below it, not the whole string") {
    // The lower half of 2 x 28 V feeds a lamp with a diode across it.
    const auto half = [](const std::string& diode) {
        return check_text(
            "loom 1\nharness \"string\" { ambient 0..35 degC, insulation xlpe 90 degC }\n"
            "pack B1 { voltage 20..28 V, resistance 10..15 mohm, capacity 80 Ah, discharge 120 A, charge 30 "
            "A "
            "}\n"
            "pack B2 { voltage 20..28 V, resistance 10..15 mohm, capacity 80 Ah, discharge 120 A, charge 30 "
            "A "
            "}\n"
            "fuse F1 { 5 A, 80 V dc, breaks 10 kA at 80 V dc, curve ul248-14, clears 60 A2s }\n"
            "fuse F2 { 5 A, 80 V dc, breaks 10 kA at 80 V dc, curve ul248-14, clears 60 A2s }\n"
            "load E1 { 24 V, 1 A, acts-as resistor, works 15..30 V }\n"
            "load E2 { 48 V, 1 A, acts-as resistor, works 30..60 V }\ndiode V1 { 6 A, " +
            diode +
            ", drop 0.8 V }\nstud X1\nstud X2\n"
            "route B1.+ (W1 16 mm2, 0.12 m, red) B2.-\n"
            "route B1.+ (W2 1.5 mm2, 0.12 m, red) F1 (W3 1.5 mm2, 0.3 m, red) X1\n"
            "route X1 (W4 1.5 mm2, 0.1 m) E1 (W5 1.5 mm2, 0.1 m) X2\n"
            "route X2 (W6 1.5 mm2, 0.1 m) V1 (W7 1.5 mm2, 0.1 m) X1\n"
            "route B2.+ (W8 1.5 mm2, 0.12 m, red) F2 (W9 1.5 mm2, 0.3 m, red) E2 (W10 1.5 mm2, 0.1 m) X2\n"
            "route X2 (W11 1.5 mm2, 0.3 m, black) B1.-\nmode on { others at rest }\n");
    };
    CHECK(told(half("27.9 V"), "contact-voltage", "V1"));
    CHECK_FALSE(told(half("28.1 V"), "contact-voltage", "V1"));
}

TEST_CASE("contacts that reverse a motor do not hide what stands across the fuse before them") {
    const auto reversed = [](const std::string& fuse, const std::string& contact) {
        const std::string relay = " { contacts change-over, carries 20 A, breaks 10 A at " + contact +
                                  " dc, coil 24 V 100 mA, coil-works 15..32 V, suppression diode }\n";
        return check_text(
            "loom 1\nharness \"actuator\" { ambient 10..30 degC, insulation pvc 90 degC }\n"
            "pack B1 { voltage 21..28 V, resistance 10 mohm, capacity 40 Ah, discharge 50 A, charge 10 A }\n"
            "fuse F1 { 10 A, " +
            fuse +
            " dc, breaks 5 kA at 80 V dc, curve iso8820-3 }\n"
            "switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
            "switch S2 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\nrelay K1" +
            relay + "relay K2" + relay +
            "load E1 { 24 V, 3 A }\nstud X1\nstud X2\n"
            "route B1.+ (W1 2.5 mm2, 0.1 m) F1 (W2 2.5 mm2, 0.2 m) X1\nroute X2 (W3 2.5 mm2, 0.2 m) B1.-\n"
            "route X1 (W4 2.5 mm2, 0.1 m) K1.no\nroute X2 (W5 2.5 mm2, 0.1 m) K1.nc\n"
            "route X1 (W6 2.5 mm2, 0.1 m) K2.no\nroute X2 (W7 2.5 mm2, 0.1 m) K2.nc\n"
            "route K1.com (W8 2.5 mm2, 1 m) E1 (W9 2.5 mm2, 1 m) K2.com\n"
            "route X1 (W10 1 mm2, 0.1 m) S1 (W11 1 mm2, 0.1 m) K1.A1\nroute K1.A2 (W12 1 mm2, 0.1 m) X2\n"
            "route X1 (W13 1 mm2, 0.1 m) S2 (W14 1 mm2, 0.1 m) K2.A1\nroute K2.A2 (W15 1 mm2, 0.1 m) X2\n"
            "mode off { others at rest }\nmode in { S2 closed, K2 energised, others at rest }\n"
            "mode out { S1 closed, K1 energised, others at rest }\n");
    };
    CHECK(told(reversed("27.9 V", "60 V"), "fuse-voltage", "F1"));
    CHECK_FALSE(told(reversed("28.1 V", "60 V"), "fuse-voltage", "F1"));
    CHECK(told(reversed("80 V", "27.9 V"), "contact-voltage", "K1"));
    CHECK_FALSE(told(reversed("80 V", "28.1 V"), "contact-voltage", "K1"));
    CHECK(found(reversed("80 V", "60 V"), Severity::error).empty());
}

}  // namespace diode_voltages_test
