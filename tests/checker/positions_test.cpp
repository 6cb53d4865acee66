// Contacts that reverse a motor: what the proof takes to be closed together.
#include <catch2/catch.hpp>

#include "tests/checker/checking.hpp"

namespace positions_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

// Four contactors round a motor, the minus of their coils in a thin wire to the common minus. The pack may be
// two halves in series.
Results bridge(const std::string& coil_wire, const std::string& modes, const std::string& thin = "",
               bool halves = false) {
    const std::string contactor =
        " { carries 200 A, makes 400 A, breaks 200 A at 80 V dc, coil 48 V 200 mA, coil-works 30..60 V, "
        "suppression diode }\n";
    std::string text =
        "loom 1\nharness \"winch\" { ambient 0..40 degC, insulation pvc 90 degC }\n"
        "pack B1 { voltage 40..54.6 V, resistance 20 mohm, capacity 40 Ah, discharge 100 A, charge 20 A }\n"
        "fuse F1 { 80 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-5 }\n"
        "fuse F2 { 3 A, 80 V dc, breaks 10 kA at 80 V dc, curve iso8820-3 }\n"
        "switch S1 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
        "switch S2 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
        "load M1 { 48 V, 1 kW, stall 80 A }\nstud X1\nstud X2\nstud X4\nstud X5\n"
        "route B1.+ (W1 16 mm2, 0.1 m) F1 (W2 16 mm2, 0.5 m) X1\nroute B1.- (W3 16 mm2, 0.3 m) X2\n"
        "route X1 (W4 16 mm2, 0.3 m) K3 (W5 16 mm2, 0.3 m) M1.+\n"
        "route X1 (W6 16 mm2, 0.3 m) K4 (W7 16 mm2, 0.3 m) M1.-\n"
        "route M1.- (W8 16 mm2, 0.3 m) K5 (W9 16 mm2, 0.3 m) X2\n"
        "route M1.+ (W10 16 mm2, 0.3 m) K6 (W11 16 mm2, 0.3 m) X2\n"
        "route X1 (direct) F2 (W12 1 mm2, 0.3 m) S1 (W13 1 mm2, 0.3 m) X4\n"
        "route S1.in (W14 1 mm2, 0.3 m) S2 (W15 1 mm2, 0.3 m) X5\n";
    for (const char* name : {"K3", "K4", "K5", "K6"}) {
        const std::string k = name, feed = k == "K3" || k == "K5" ? "X4" : "X5";
        text += "contactor " + k + contactor + "route " + feed + " (W" + k + "a 1 mm2, 0.3 m) " + k +
                ".A1\n" + "route " + k + ".A2 (W" + k + "b " + coil_wire + ", 0.3 m) X2\n";
    }
    if (!thin.empty()) text = replaced(text, "(" + thin + " 16 mm2", "(" + thin + " 1 mm2");
    if (halves) {
        text = replaced(text, "pack B1 { voltage 40..54.6 V, resistance 20 mohm",
                        "pack B2 is half\npack B1 is half\nroute B2.+ (W90 16 mm2, 0.1 m) B1.-\n"
                        "part half is pack { voltage 20..27.3 V, resistance 10 mohm");
        text = replaced(text, "route B1.- (W3", "route B2.- (W3");
    }
    return check_text(text + "mode off { others at rest }\n" + modes);
}
const std::string both =
    "mode up { S1 K3 K5 closed, others at rest }\nmode down { S2 K4 K6 closed, others at rest }\n";

std::vector<std::string> oversized(const Results& results) {
    std::vector<std::string> list;
    for (const Finding& finding : results.findings)
        if (finding.rule == "oversized-fuse") list.push_back(finding.subject);
    return list;
}

}  // namespace

TEST_CASE("the thin minus of a coil is not taken for a feed because a bridge could close all at once") {
    CHECK(oversized(bridge("1 mm2", both)).empty());
}

TEST_CASE("a thin wire in any leg of a bridge is still found, whichever side of it feeds it") {
    for (const std::string name : {"W4", "W5", "W6", "W7", "W8", "W9", "W10", "W11"}) {
        INFO(name);
        // 1.35 x 80 A > 1.45 x what 1 mm2 may carry
        CHECK(oversized(bridge("1 mm2", both, name)) == std::vector<std::string>{name});
    }
}

TEST_CASE("a bridge over two packs in series is one as over a single pack") {
    CHECK(oversized(bridge("1 mm2", both, "", true)).empty());
    CHECK(oversized(bridge("1 mm2", both, "W7", true)) == std::vector<std::string>{"W7"});
}

TEST_CASE("contacts across the supply that no mode closes make no feeds of returns, and hide no thin leg") {
    // One direction only: K4 and K6 are never closed.
    const std::string up = "mode up { S1 K3 K5 closed, others at rest }\n";
    CHECK(oversized(bridge("1 mm2", up)).empty());
    for (const std::string name : {"W4", "W5", "W6", "W7", "W8", "W9", "W10", "W11"}) {
        INFO(name);
        CHECK(oversized(bridge("1 mm2", up, name)) == std::vector<std::string>{name});
    }
}

}  // namespace positions_test
