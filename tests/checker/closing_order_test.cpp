// Of contacts in line that one mode closes, the hand-operated one nearest to what it feeds closes onto it.
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace closing_order_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// An isolator and a fan switch behind it; both are closed by the one mode.
Results fan(double isolator_makes_A, double switch_makes_A, const std::string& load) {
    return check_text(fmt::format(
        "loom 1\nharness \"grain fan\" {{ ambient 0..35 degC, insulation xlpe 90 degC }}\n"
        "pack B1 {{ voltage 22..28.8 V, resistance 8..14 mohm, capacity 70 Ah, discharge 120 A, charge 20 A "
        "}}\n"
        "fuse F1 {{ 60 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }}\n"
        "switch S1 \"isolator\" {{ 48 V dc, carries 120 A, makes {} A, breaks 100 A at 32 V dc }}\n"
        "switch S2 \"fan\" {{ 48 V dc, carries 60 A, makes {} A, breaks 60 A at 32 V dc }}\n"
        "{}\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.2 m) S1 (W3 16 mm2, 0.3 m) S2 (W4 16 mm2, 0.3 m) "
        "M1.+\n"
        "route M1.- (W5 16 mm2, 0.3 m) B1.-\n"
        "mode off {{ others at rest }}\nmode blow {{ S1 S2 closed, others at rest }}\n",
        isolator_makes_A, switch_makes_A, load));
}
const std::string motor = "load M1 { 24 V, 10 A, acts-as current, works 16..30 V, inrush 50 A for 100 ms }";

}  // namespace

TEST_CASE("an isolator that could close on the starting current does not excuse the switch behind it") {
    CHECK(finding_of(fan(2000, 49.9, motor), "making-current", "S2"));
    CHECK_FALSE(finding_of(fan(2000, 50.1, motor), "making-current", "S2"));
    // The isolator is closed before: what it may close on does not matter.
    CHECK_FALSE(finding_of(fan(20, 50.1, motor), "making-current", "S1"));
}

TEST_CASE("nor does it from empty capacitors") {
    const std::string controller =
        "controller M1 { input 18..32 V, capacitance 8 mF, supply-limit 20 A, "
        "phase-peak 40 A, regen none, spare U V W }";
    const Results results = fan(5000, 80, controller);
    CHECK(finding_of(results, "no-precharge", "S2"));
    CHECK_FALSE(finding_of(fan(5000, 5000, controller), "no-precharge", "S2"));
}

namespace {

// A pump contactor whose coil hangs behind the isolator and a switch of its own, and a charger beside it.
Results pump(double contactor_makes_A, const std::string& mode) {
    return check_text(fmt::format(
        "loom 1\nharness \"lift\" {{ ambient 0..35 degC, insulation xlpe 90 degC }}\n"
        "pack B1 {{ voltage 11..14.4 V, resistance 8..14 mohm, capacity 70 Ah, discharge 120 A, peak 250 A "
        "for "
        "10 s, charge 20 A }}\n"
        "fuse F1 {{ 100 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }}\n"
        "part midget is fuse {{ 125 V dc, breaks 10 kA at 125 V dc, curve ul248-14 }}\n"
        "fuse F2 is midget {{ 3 A, clears 30 A2s }}\nfuse F3 is midget {{ 15 A, clears 900 A2s }}\n"
        "switch S1 \"isolator\" {{ 48 V dc, carries 150 A, makes 300 A, breaks 150 A at 32 V dc }}\n"
        "switch S2 \"lift\" {{ 48 V dc, carries 6 A, breaks 3 A at 32 V dc }}\n"
        "contactor K1 {{ carries 150 A, makes {} A, breaks 300 A at 24 V dc, coil 12 V 800 mA, coil-works "
        "8..16 "
        "V, suppression diode }}\n"
        "load M1 {{ 12 V, 60 A, acts-as current, works 9..15 V, inrush 140 A for 0.2 s }}\n"
        "charger G1 {{ output 14.4 V 10 A, reverse blocked }}\nstud X1\nstud X2\n"
        "route B1.+ (W1 35 mm2, 0.1 m) F1 (W2 35 mm2, 0.3 m) S1 (W3 35 mm2, 0.3 m) X1\n"
        "route B1.- (W4 35 mm2, 0.3 m) X2\n"
        "route X1 (W5 35 mm2, 0.3 m) K1 (W6 35 mm2, 0.3 m) M1 (W7 35 mm2, 0.3 m) X2\n"
        "route X1 (direct) F2 (W8 1.5 mm2, 0.5 m) S2 (W9 1.5 mm2, 0.5 m) K1.A1\n"
        "route K1.A2 (W10 1.5 mm2, 0.3 m) X2\n"
        "route X1 (direct) F3 (W11 4 mm2, 0.5 m) G1 (W12 4 mm2, 0.5 m) X2\n"
        "mode off {{ others at rest }}\nmode charge {{ like off, S1 closed, G1 delivers 10 A }}\n"
        "mode up {{ {} }}\n",
        contactor_makes_A, mode));
}

}  // namespace

TEST_CASE(
    "a contactor whose coil hangs behind the isolator closes after it, whatever charger stands beside it") {
    CHECK(finding_of(pump(139, "like off, S1 S2 closed, K1 closed"), "making-current", "K1"));
    CHECK_FALSE(finding_of(pump(141, "like off, S1 S2 closed, K1 closed"), "making-current", "K1"));
    // A charger that delivers feeds the coil with the isolator open: then either may close last.
    CHECK_FALSE(
        finding_of(pump(139, "like off, S1 S2 closed, K1 closed, G1 delivers 10 A"), "making-current", "K1"));
}

}  // namespace closing_order_test
